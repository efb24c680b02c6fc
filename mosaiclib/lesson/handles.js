/* A picture with handles. Python sends the drawing as SVG; this file lays handles over it and sends back where
   they are. Coordinates are millimetres of the layout, y upwards, as everywhere in the workbooks.
   Handles are HTML: there a browser heeds touch-action, so that a finger drags the handle and not the page. */
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const REACH = 44; // CSS px across: what a finger hits, however small the picture is shown
const SIZE = 3.1; // share of the picture's width that one sees of a handle [%]
const LEAST = 2; // handles that a line needs
const MORE = ['+', 'Insert'], LESS = ['-', 'Delete', 'Backspace'];
const CHOOSE = 'Choose a handle first: click it, or press Tab until it is marked.';
const tidy = length => Math.round(length * 10) / 10;

function render({ model, el }) {
  const frame = document.createElement('div');
  const picture = document.createElement('div');
  const over = document.createElement('div');
  const told = document.createElement('p');
  // Cut off beyond the widest handle: a finger's reach over the rim would bring scroll bars.
  frame.style.cssText =
    'position:relative;width:calc(100% - 20px);margin:10px auto;overflow:clip;overflow-clip-margin:10px;--reach:0px';
  told.style.cssText = 'min-height:1.4em;margin:0;flex:1 1 200px'; // what stands below must not hop when something is told
  told.setAttribute('role', 'status');
  told.className = 'mosaic-told';
  frame.append(picture, over);
  picture.style.touchAction = 'manipulation'; // a double tap adds a handle, it does not magnify the page
  el.classList.add('mosaic-picture');
  const bar = document.createElement('div');
  bar.style.cssText = 'display:flex;flex-flow:row wrap;gap:6px;margin:0 10px;align-items:center';
  if (model.get('most')) bar.append(button('Add a handle', '+', more), button('Take it away', 'Delete', less));
  bar.append(told);
  el.append(frame, bar);
  let fitted = null; // the size of the drawing that the frame was fitted to [mm]
  let chosen = null; // which handle was last caught or tabbed to: the buttons under the picture mean that one
  let asked = null; // the piece that was tapped last: its place among all, and what was told of it
  let held = null; // the drag: which handle, by which pointer, how far from its middle, and whether it has moved

  const drawn = () => picture.querySelector('svg');
  const size = () => drawn().viewBox.baseVal;

  function showPicture() {
    picture.innerHTML = model.get('picture');
    if (!drawn()) return;
    if (asked && told.textContent === asked.words) tell(asked.at); // a tap may have changed its colour
    fit();
    place();
  }

  // The frame is as wide as the picture, since handles are placed by shares of it. A key that comes or goes makes
  // the picture a little higher or lower: it must not change its scale under the hand for that.
  function fit() {
    drawn().style.maxWidth = '100%';
    const { width, height } = size();
    const near = fitted && Math.abs(width / fitted.width - 1) < 0.01 && Math.abs(height / fitted.height - 1) < 0.2;
    if (near) return;
    fitted = { width, height };
    frame.style.maxWidth = `min(var(--wide,680px),calc(var(--high,480px)*${width / height}))`;
  }

  // The same rule stands in handles.py: whole tenths, so that a held point is as tidy as any other.
  function inside([x, y]) {
    const hold = (at, before, length) =>
      Math.min(Math.max(at, Math.ceil(-10 * before) / 10), Math.floor(10 * (length - before)) / 10);
    return [hold(x, model.get('left'), size().width), hold(y, model.get('low'), size().height)];
  }

  function say(words) {
    if (told.textContent !== words) told.textContent = words;
  }

  function send(points, moving) {
    model.set('points', points);
    model.set('moving', moving);
    model.save_changes();
    place();
  }

  function move(index, [x, y], moving) {
    const wanted = [tidy(x), tidy(y)];
    const point = inside(wanted);
    const free = point.every((at, axis) => at === wanted[axis]);
    say(free ? '' : `Point ${index + 1} is held at the rim of the picture.`);
    send(model.get('points').map((old, other) => (other === index ? point : old)), moving);
  }

  function fromPointer(event) {
    const box = drawn().getBoundingClientRect();
    const scale = size().width / box.width;
    return [(event.clientX - box.left) * scale - model.get('left'), (box.bottom - event.clientY) * scale - model.get('low')];
  }

  function nearest(event) {
    const far = dot => {
      const box = dot.getBoundingClientRect();
      return Math.hypot(box.x + box.width / 2 - event.clientX, box.y + box.height / 2 - event.clientY);
    };
    const all = [...over.children].map(far);
    return all.indexOf(Math.min(...all));
  }

  const forFingers = () => frame.style.setProperty('--reach', `${REACH}px`);
  if (window.matchMedia('(any-pointer: coarse)').matches) forFingers();

  frame.addEventListener('pointerdown', event => {
    if (event.pointerType === 'touch') forFingers();
    if (event.button || !event.target.closest('.mosaic-handle')) return;
    event.preventDefault();
    if (held) return;
    const index = nearest(event);
    const [x, y] = inside(model.get('points')[index]);
    const [across, up] = fromPointer(event);
    held = { index, pointer: event.pointerId, off: [x - across, y - up], moved: false };
    over.children[index].setPointerCapture(event.pointerId);
    over.children[index].focus({ preventScroll: true });
  });

  frame.addEventListener('pointermove', event => {
    if (held?.pointer !== event.pointerId) return;
    const [across, up] = fromPointer(event);
    held.moved = true;
    move(held.index, [across + held.off[0], up + held.off[1]], true);
  });

  // However a drag ends, the point stays where it was last shown: a cancelled pointer has no place of its own.
  const letGo = event => {
    if (held?.pointer !== event.pointerId) return;
    const { moved } = held;
    held = null;
    if (moved) send(model.get('points'), false);
  };
  for (const end of ['pointerup', 'pointercancel', 'lostpointercapture']) frame.addEventListener(end, letGo);

  // Another number of handles: what was told of one of them no longer holds, and the one meant keeps the focus.
  function changed(points, index, words) {
    send(points, false);
    say(words);
    over.children[index].focus({ preventScroll: true });
  }

  function add(index, point) {
    const points = model.get('points');
    if (points.length >= model.get('most')) return say(`A line can have at most ${model.get('most')} points.`);
    changed([...points.slice(0, index), inside(point.map(tidy)), ...points.slice(index)], index, `Point ${index + 1} is new.`);
  }

  // After the chosen handle, or before the last one, on the line as Python last drew it.
  function more() {
    if (held) return;
    if (chosen === null) return say(CHOOSE);
    const after = Math.min(chosen, model.get('points').length - 2);
    add(after + 1, model.get('between')[after]);
  }

  function less() {
    const points = model.get('points');
    if (held) return;
    if (chosen === null) return say(CHOOSE);
    if (points.length <= LEAST) return say(`A line needs at least ${LEAST} points.`);
    const left = points.filter((_, index) => index !== chosen);
    changed(left, Math.min(chosen, left.length - 1), `Point ${chosen + 1} is taken away.`);
  }

  // Where a new point joins the line: within the nearest stroke, or before or after all others.
  function joining([x, y]) {
    const points = model.get('points');
    const strokes = points.slice(1).map((end, index) => {
      const begin = points[index];
      const [across, up] = [end[0] - begin[0], end[1] - begin[1]];
      const share = ((x - begin[0]) * across + (y - begin[1]) * up) / (across * across + up * up || 1);
      const near = Math.min(Math.max(share, 0), 1);
      return { index, share, far: Math.hypot(x - begin[0] - near * across, y - begin[1] - near * up) };
    });
    const { index, share } = strokes.reduce((best, one) => (one.far < best.far ? one : best));
    if (index === 0 && share < 0) return 0;
    return index === strokes.length - 1 && share > 1 ? points.length : index + 1;
  }

  frame.addEventListener('dblclick', event => {
    if (held || !model.get('most') || event.target.closest('.mosaic-handle')) return;
    event.preventDefault();
    const point = fromPointer(event);
    add(joining(point), point);
  });

  function button(words, key, act) {
    const made = document.createElement('button');
    made.type = 'button';
    made.className = 'jupyter-button lm-Widget';
    made.textContent = words;
    made.title = `${words} (key ${key} on a handle)`;
    made.style.width = 'auto';
    made.addEventListener('click', act);
    return made;
  }

  function byKey(event, index) {
    const way = ARROWS[event.key];
    const other = MORE.includes(event.key) ? more : LESS.includes(event.key) ? less : null;
    if (event.ctrlKey || event.metaKey || event.altKey || !(way || (other && model.get('most')))) return;
    event.preventDefault();
    event.stopPropagation();
    if (!way) return other();
    const far = model.get('step') * (event.shiftKey ? 10 : 1);
    const [x, y] = model.get('points')[index];
    move(index, [x + way[0] * far, y + way[1] * far], false);
  }

  // A slider, since a screen reader hands the arrow keys to nothing less.
  function handle(index) {
    const dot = document.createElement('div');
    const reach = document.createElement('div');
    dot.tabIndex = 0;
    dot.setAttribute('role', 'slider');
    dot.className = 'mosaic-handle';
    dot.style.cssText =
      `position:absolute;width:${SIZE}%;aspect-ratio:1;transform:translate(-50%,50%);box-sizing:border-box;` +
      'border:2px solid #a5492a;border-radius:50%;background:#ffffffcc;cursor:grab;touch-action:none;user-select:none';
    reach.style.cssText =
      'position:absolute;inset:min(-2px,calc((100% - var(--reach))/2));border-radius:50%;touch-action:none';
    dot.append(reach);
    dot.addEventListener('keydown', event => byKey(event, index));
    dot.addEventListener('focus', () => choose(index));
    return dot;
  }

  function choose(index) {
    chosen = index;
    [...over.children].forEach((dot, other) => (dot.style.boxShadow = other === index ? 'inset 0 0 0 3px #a5492a' : ''));
  }

  function place() {
    const points = model.get('points');
    if (!drawn()) return;
    while (over.children.length > points.length) over.lastChild.remove();
    while (over.children.length < points.length) over.append(handle(over.children.length));
    if (chosen >= points.length) choose(null);
    const { width, height } = size();
    points.forEach((point, index) => {
      const dot = over.children[index];
      const [x, y] = inside(point);
      dot.style.left = `${(100 * (x + model.get('left'))) / width}%`;
      dot.style.bottom = `${(100 * (y + model.get('low'))) / height}%`;
      dot.setAttribute('aria-label', `Point ${index + 1} of ${points.length}`);
      dot.setAttribute('aria-valuenow', tidy(point[0]));
      dot.setAttribute('aria-valuemin', tidy(-model.get('left')));
      dot.setAttribute('aria-valuemax', tidy(width - model.get('left')));
      dot.setAttribute('aria-valuetext', model.get('places')[index] ?? '');
    });
  }

  const pieces = () => [...picture.querySelectorAll('.piece')];

  function tell(at) {
    const words = pieces()[at]?.querySelector('title')?.textContent ?? '';
    asked = { at, words };
    say(words);
  }

  // A tap on a piece tells what it is: not everyone has a mouse to rest on it.
  picture.addEventListener('click', event => {
    const title = event.target.querySelector && event.target.querySelector(':scope > title');
    if (title && event.target.tagName !== 'svg') say(title.textContent);
    if (title && event.target.classList.contains('piece')) {
      tell(pieces().indexOf(event.target));
      const number = [...event.target.parentNode.children].indexOf(event.target) + 1;
      model.set('tapped', [number, model.get('tapped')[1] + 1]); // a second tap on one piece is another one
      model.save_changes();
    }
  });

  model.on('change:picture', showPicture);
  for (const name of ['points', 'places', 'left', 'low']) model.on(`change:${name}`, place);
  showPicture();
}

export default { render };
