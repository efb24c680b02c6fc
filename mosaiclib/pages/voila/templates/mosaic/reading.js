// The bar's way through the workbook, the picture large or alone, names for who hears the page, and the handout.
{
  const all = (wanted, within = document) => [...within.querySelectorAll(wanted)];
  const made = (tag, words, more = {}) => Object.assign(document.createElement(tag), { textContent: words, ...more });
  const put = (element, name, value) => {
    if (element.getAttribute(name) !== value) element.setAttribute(name, value);
  };

  // What the widgets leave untold: sliders in their own unit, what is pressed or open; no empty tooltips.
  const bare = (words) => words.replace(/\s*\[[^\]]*\]$/, '').trim();
  const name = {
    '.widget-slider': (slider) => {
      const label = slider.querySelector('.widget-label');
      const handles = all('.noUi-handle', slider);
      const values = handles.length > 1 ? label.title.split(' to ') : [label.title];
      handles.forEach((handle, at) => {
        put(handle, 'aria-label', bare(label.textContent) + (handles.length > 1 ? [', least', ', most'][at] : ''));
        put(handle, 'aria-valuetext', values[at] ?? label.title);
      });
    },
    '.widget-colorpicker': (picker) => put(picker.querySelector('[type=color]'), 'aria-label', picker.querySelector('label').title),
    'input[title], select[title]': (box) => put(box, 'aria-label', bare(box.title)),
    '.widget-toggle-button': (button) =>
      put(button, button.matches('.mosaic-fold') ? 'aria-expanded' : 'aria-pressed', `${button.matches('.mod-active')}`),
    '.widget-toggle-buttons': (group) => {
      put(group, 'role', 'group');
      put(group, 'aria-label', group.querySelector('.widget-label').textContent || 'Parts of this workbook');
      for (const button of all('button', group)) put(button, 'aria-pressed', `${button.matches('.mod-active')}`);
    },
    '.widget-radio-box': (group) => {
      put(group, 'role', 'radiogroup');
      put(group, 'aria-label', 'Your answer');
    },
    'img[src^="data:image/svg"]:not([alt])': (picture) => {
      const drawn = new DOMParser().parseFromString(decodeURIComponent(picture.src.split(',').slice(1).join()), 'image/svg+xml');
      picture.alt = all('svg > title, svg > desc', drawn).map((one) => one.textContent).join('. ');
    },
    '[title]': (one) => {
      const said = one.title.trim();
      const told = !said || said === 'null' || (one.matches('button') && said === one.textContent.trim());
      if (told) one.removeAttribute('title');
    },
  };
  const nameAll = () => {
    const cells = document.getElementById('rendered_cells');
    for (const [wanted, give] of Object.entries(name)) for (const one of all(wanted, cells)) give(one);
    for (const one of all('.mosaic-lesson')) {
      const line = one.querySelector('.mosaic-summary');
      const kept = parseFloat(getComputedStyle(line).minHeight);
      const more = `${Math.max(0, Math.round(line.offsetHeight - kept))}px`; // a headline of three lines takes from the picture
      if (one.style.getPropertyValue('--more') !== more) one.style.setProperty('--more', more);
    }
    markPart();
  };

  // The bar: sections of the workbook, and in place of the lesson its parts.
  const partButtons = () => all('.mosaic-parts button');
  const lesson = () => document.querySelector('.mosaic-parts') ?? document.querySelector('.mosaic-lesson');
  const go = (element) => element.scrollIntoView({ block: 'start' });
  const sectionOf = (head) => {
    const link = made('a', head.firstChild.textContent.trim(), { href: `#${encodeURIComponent(head.id)}` });
    link.onclick = (event) => {
      event.preventDefault();
      go(head);
      head.tabIndex = -1;
      head.focus({ preventScroll: true });
    };
    return link;
  };
  const partOf = (words) =>
    made('button', words, {
      className: 'mosaic-part',
      onclick: () => {
        partButtons().find((button) => button.textContent.trim() === words).click();
        go(document.querySelector('.mosaic-lesson') ?? lesson());
      },
    });
  const markPart = () => {
    const open = document.querySelector('.mosaic-parts .mod-active')?.textContent.trim();
    for (const button of all('.mosaic-part')) {
      if (button.textContent === open) put(button, 'aria-current', 'true');
      else button.removeAttribute('aria-current');
    }
  };
  // Where the names of the sections do not fit beside the parts, they stand in a menu.
  const bar = document.querySelector('.mosaic-bar');
  const fit = () => {
    bar.classList.remove('mosaic-narrow');
    bar.classList.toggle('mosaic-narrow', bar.offsetHeight > 46);
    put(document.documentElement, 'style', `--bar: ${bar.offsetHeight}px`);
  };
  addEventListener('resize', () => { fit(); nameAll(); });
  const buildBar = () => {
    const parts = partButtons().map((button) => partOf(button.textContent.trim()));
    const before = (head) => head.compareDocumentPosition(lesson()) & Node.DOCUMENT_POSITION_FOLLOWING;
    const heads = all('#rendered_cells h2');
    const tried = parts.length ? heads.filter(before).at(-1) : null;
    const links = heads.flatMap((head) => (head === tried ? parts : [sectionOf(head)]));
    const menu = made('details', '');
    const inside = made('div', '');
    inside.append(...heads.map(sectionOf));
    inside.onclick = () => { menu.open = false; };
    menu.append(made('summary', 'Sections'), inside);
    document.getElementById('sections').replaceChildren(menu, ...links);
    fit();
    markPart();
  };

  // The picture large (with its controls) or alone; Escape goes back.
  const show = (one, how) => {
    document.body.classList.toggle('mosaic-still', how !== ''); // the page behind does not scroll
    one.classList.toggle('mosaic-large', how !== '');
    one.classList.toggle('mosaic-alone', how === 'alone');
    for (const button of all('.mosaic-tools button', one)) put(button, 'aria-pressed', `${button.dataset.how === how}`);
  };
  const addTools = () => {
    for (const head of all('.mosaic-heading:not(:has(.mosaic-tools))')) {
      const tools = made('div', '', { className: 'mosaic-tools' });
      for (const [how, words] of [['large', 'Fill the window'], ['alone', 'Picture alone']]) {
        const button = made('button', words);
        button.dataset.how = how;
        put(button, 'aria-pressed', 'false');
        button.onclick = () => show(head.closest('.mosaic-lesson'), button.ariaPressed === 'true' ? '' : how);
        tools.append(button);
      }
      head.append(tools);
    }
  };
  document.addEventListener('keydown', (key) => {
    if (key.key !== 'Escape') return;
    for (const one of all('.mosaic-large')) show(one, '');
    for (const menu of all('.mosaic-bar details')) menu.open = false;
  });

  // A fold that opens closes another: what was clicked stays where it is.
  document.addEventListener('click', (event) => {
    const fold = event.target.closest?.('.mosaic-fold');
    if (!fold) return;
    const top = fold.getBoundingClientRect().top;
    let until = performance.now() + 1000;
    const once = { once: true, capture: true };
    for (const own of ['wheel', 'pointerdown', 'keydown', 'input']) addEventListener(own, () => { until = 0; }, once);
    const hold = () => {
      const off = fold.getBoundingClientRect().top - top;
      if (Math.abs(off) > 1) (fold.closest('.mosaic-large') ?? window).scrollBy(0, off);
      if (performance.now() < until) requestAnimationFrame(hold);
    };
    hold();
  });

  // Enter takes what was typed in a box of many lines too.
  document.addEventListener('keydown', (key) => {
    if (key.key !== 'Enter' || key.shiftKey || !key.target.matches('.mosaic-lesson textarea')) return;
    key.preventDefault();
    key.target.dispatchEvent(new Event('change', { bubbles: true }));
  }, true); // before the box keeps the key to itself

  // The handout: each cell's lesson and questions are asked for theirs, then the page is printed.
  const sheetOf = (paper) => paper.querySelector('.mosaic-sheet')?.dataset.times;
  const until = async (met) => {
    const patience = Date.now() + 60000;
    while (!met() && Date.now() < patience) await new Promise((go) => setTimeout(go, 50));
  };
  const printFor = async (who) => {
    working.textContent = 'making the handout';
    const papers = all('#rendered_cells .jp-Cell').map((cell) => all('.mosaic-paper', cell).at(-1)).filter(Boolean);
    for (const paper of papers) {
      const before = sheetOf(paper);
      paper.querySelector('button').click();
      await until(() => sheetOf(paper) !== before);
      paper.classList.add('mosaic-now');
    }
    const folded = all('#rendered_cells details:not([open])');
    for (const one of folded) one.open = who === 'teacher' || one.closest('.celltag_opening') !== null;
    working.textContent = '';
    document.body.dataset.print = who;
    window.print();
    const back = () => {
      for (const one of folded) one.open = false;
      delete document.body.dataset.print;
    };
    setTimeout(() => addEventListener('focus', back, { once: true }));
  };
  const working = document.getElementById('working');
  for (const button of all('#printing button')) {
    button.onclick = () => {
      document.getElementById('printing').open = false;
      printFor(button.dataset.for);
    };
  }
  document.addEventListener('keydown', (key) => {
    if (!(key.ctrlKey || key.metaKey) || key.key.toLowerCase() !== 'p') return;
    key.preventDefault();
    printFor('learner');
  });

  // Once the workbook is there: mark the teacher's cells, and keep names true as widgets come and change.
  const TEACHER = /^Teacher's notes/;
  const teachers = () => {
    for (const cell of all('#rendered_cells .jp-Cell:has(h2)')) {
      cell.classList.toggle('for-teacher', TEACHER.test(cell.querySelector('h2').textContent));
    }
  };
  let waiting = false;
  const soon = () => {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      if (!document.getElementById('rendered_cells')) return;
      addTools();
      if (all('#sections .mosaic-part').length !== partButtons().length
        || all('#sections div > a').length !== all('#rendered_cells h2').length) {
        buildBar();
        teachers();
      }
      nameAll();
    });
  };
  const watched = { subtree: true, childList: true, attributes: true, attributeFilter: ['title', 'aria-valuetext', 'class'] };
  const other = ({ target }) => !target.closest('.mosaic-picture'); // a picture changes often, and names itself
  new MutationObserver((changes) => { if (changes.some(other)) soon(); }).observe(document.documentElement, watched);
  fit();
  document.title = document.querySelector('[aria-current=page]')?.getAttribute('aria-label') ?? document.title;

  // What takes longer than a moment says so.
  let timer = null;
  window.mosaicState = (state) => {
    clearTimeout(timer);
    if (state === 'busy') timer = setTimeout(() => { working.textContent = 'working …'; }, 700);
    else if (working.textContent === 'working …') working.textContent = '';
  };
}
