/* Runs a workbook when it is opened: JupyterLab 4.6 has no setting for it, and a saved picture whose
   sliders do nothing is worse than none. Written by hand in the form that JupyterLab's loader reads.

   A notebook from elsewhere must never run by itself, so all of these must hold:
   - the door (python -m mosaiclib) started this server: it puts "mosaicDoor" into the page's settings;
   - the notebook lies in the served workbooks folder itself, not in a folder inside it and not on another drive;
   - the notebook's metadata says {"workbook": {"autorun": true}}. */
(() => {
  const NAME = 'mosaiclib-autorun';
  const pause = milliseconds => new Promise(done => setTimeout(done, milliseconds));

  function doorIsOpen() {
    const settings = document.getElementById('jupyter-config-data');
    return settings !== null && JSON.parse(settings.textContent).mosaicDoor === 'open';
  }

  const isOurs = path => !path.includes('/') && !path.includes(':');

  function isMarked(panel) {
    const workbook = panel.model && panel.model.getMetadata('workbook');
    return Boolean(workbook) && workbook.autorun === true;
  }

  // "Run All" asked before the kernel is connected is lost without a word.
  function isReady(panel) {
    const kernel = panel.sessionContext.session && panel.sessionContext.session.kernel;
    return Boolean(kernel) && kernel.connectionStatus === 'connected' && kernel.status === 'idle';
  }

  // Running all cells leaves the page at its end; a reader begins at the top.
  async function backToTop(panel) {
    panel.content.activeCellIndex = 0;
    panel.content.deselectAll();
    await panel.content.scrollToItem(0, 'start');
  }

  // The last cell, tagged "check", is for the tests: it takes seconds, in which no slider would answer.
  async function runForReading(app, panel) {
    const cells = panel.content.widgets;
    const tags = cells[cells.length - 1].model.getMetadata('tags') || [];
    if (!tags.includes('check')) return app.commands.execute('notebook:run-all-cells');
    panel.content.activeCellIndex = cells.length - 1;
    return app.commands.execute('notebook:run-all-above');
  }

  async function runOnce(app, panel, context) {
    await context.ready;
    if (!isOurs(context.path) || !isMarked(panel)) return;
    await panel.sessionContext.ready;
    await panel.revealed;
    // The command runs the notebook in front; one opened behind another waits for its turn.
    while (!panel.isDisposed && !(isReady(panel) && app.shell.currentWidget === panel)) await pause(50);
    if (panel.isDisposed) return;
    await runForReading(app, panel);
    await backToTop(panel);
    panel.node.dataset.workbook = 'has-run'; // a stored picture looks the same: tests wait for this
  }

  const plugin = {
    id: `${NAME}:plugin`,
    autoStart: true,
    activate: app => {
      if (!doorIsOpen()) return;
      app.docRegistry.addWidgetExtension('Notebook', {
        createNew: (panel, context) => {
          runOnce(app, panel, context).catch(console.error);
        },
      });
    },
  };

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB[NAME] = {
    init: () => {},
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();
