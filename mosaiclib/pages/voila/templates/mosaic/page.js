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

// A link to one fold of a page opens it, once it is there.
const opened = () => {
  const asked = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  if (asked) asked.open = true;
  asked?.scrollIntoView();
  return asked;
};
addEventListener('DOMContentLoaded', () => {
  const whole = { childList: true, subtree: true };
  if (location.hash && !opened()) new MutationObserver((_, watch) => opened() && watch.disconnect()).observe(document.body, whole);
});

// Leaving a page stops its kernel, also where the page was left while it still opened.
window.addEventListener('pagehide', () => {
  const { baseUrl, kernelId } = JSON.parse(document.getElementById('jupyter-config-data').textContent);
  const token = document.cookie.match(/(?:^|; )_xsrf=([^;]*)/)?.[1] ?? '';
  const headers = { 'X-XSRFToken': token };
  fetch(`${baseUrl}voila/api/shutdown/${kernelId}`, { method: 'POST', headers, keepalive: true });
});

// A kernel or a server that ends leaves boxes that look alive: say so, and what to press.
const LOST = /"execution_state":\s*"(restarting|autorestarting|dead)"/;
let leaving = false;
window.addEventListener('pagehide', () => { leaving = true; });
const lost = () => {
  if (leaving || document.getElementById('lost')) return;
  const said = document.createElement('div');
  said.id = 'lost';
  said.role = 'alert';
  said.innerHTML = '<p>The workbook has stopped. What you set is kept. <span></span>; press <button>Open again</button></p>';
  said.querySelector('span').textContent = document.body.dataset.stopped;
  said.querySelector('button').onclick = () => location.reload();
  document.body.prepend(said);
};
window.WebSocket = class extends window.WebSocket {
  constructor(...asked) {
    super(...asked);
    this.addEventListener('close', lost);
    this.addEventListener('message', ({ data }) => {
      const length = data.length ?? data.byteLength ?? Infinity;
      if (length > 2000) return; // pictures are long, and news of the kernel short
      const said = typeof data === 'string' ? data : new TextDecoder().decode(data);
      if (LOST.test(said)) lost();
      const state = /"execution_state":\s*"(busy|idle)"/.exec(said);
      if (state) window.mosaicState?.(state[1]);
    });
  }
};

// A file larger than the server takes at once would end the connection: it is refused before it is sent.
const LARGEST_FILE = 10e6; // bytes, as for a plan
const tooLarge = (event) => {
  const large = [...event.target.files].find((file) => file.size > LARGEST_FILE);
  if (!large) return;
  event.stopImmediatePropagation();
  const said = document.createElement('p');
  said.role = 'status';
  said.textContent = `${large.name} is larger than ${LARGEST_FILE / 1e6} MB: neither a plan nor a drawing is. Nothing is changed.`;
  [...document.querySelectorAll('.mosaic-message .widget-html-content')].find((place) => place.offsetParent)?.replaceChildren(said);
};
const choose = HTMLInputElement.prototype.click;
HTMLInputElement.prototype.click = function click() {
  if (this.type === 'file') this.addEventListener('change', tooLarge, { capture: true }); // added twice it is called once
  choose.call(this);
};

// Ctrl and Z, Ctrl and Y: the buttons of the lesson in sight, but in a box its own.
const WRITTEN = 'input[type=text], input[type=number], input:not([type]), textarea';
document.addEventListener('keydown', (key) => {
  const back = key.key.toLowerCase() === 'z' && !key.shiftKey;
  const on = key.key.toLowerCase() === 'y' || (key.key.toLowerCase() === 'z' && key.shiftKey);
  if (!(key.ctrlKey || key.metaKey) || !(back || on) || key.target.matches(WRITTEN)) return;
  const button = document.querySelector(back ? '.mosaic-undo' : '.mosaic-redo');
  if (!button) return;
  key.preventDefault();
  button.click();
});
