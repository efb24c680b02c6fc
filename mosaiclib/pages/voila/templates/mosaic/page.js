// What the page's script calls while cells run and when all have run.
window.voila_heartbeat = () => {};
window.voila_process = () => {};
window.display_cells = () => {
  if (!window.themeLoaded) {
    window.cellLoaded = true;
    return;
  }
  document.getElementById('loading')?.remove();
  document.getElementById('rendered_cells').style.display = '';
};
window.voila_finish = window.display_cells;

// Leaving a page stops its kernel, also where the page was left while it still opened.
window.addEventListener('pagehide', () => {
  const { baseUrl, kernelId } = JSON.parse(document.getElementById('jupyter-config-data').textContent);
  const token = document.cookie.match(/(?:^|; )_xsrf=([^;]*)/)?.[1] ?? '';
  const headers = { 'X-XSRFToken': token };
  fetch(`${baseUrl}voila/api/shutdown/${kernelId}`, { method: 'POST', headers, keepalive: true });
});
