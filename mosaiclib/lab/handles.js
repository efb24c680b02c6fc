/* A picture with handles. Python sends the drawing as SVG; this file lays handles over it and sends back where
   they are. Coordinates are millimetres of the layout, y upwards, as everywhere in the workbooks. */
const SVG = 'http://www.w3.org/2000/svg';
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
const tidy = length => Math.round(length * 10) / 10;

function render({ model, el }) {
  const frame = document.createElement('div');
  const picture = document.createElement('div');
  const over = document.createElementNS(SVG, 'svg');
  const told = document.createElement('p');
  frame.style.cssText = 'position:relative;max-width:680px';
  over.style.cssText = 'position:absolute;inset:0;width:100%;height:100%;overflow:visible;pointer-events:none';
  told.setAttribute('role', 'status');
  told.className = 'mosaic-told';
  frame.append(picture, over);
  el.classList.add('mosaic-picture');
  el.append(frame, told);
  let dragged = null;

  const toScreen = ([x, y]) => [x + model.get('left'), model.get('height') - y - model.get('low')];
  const toLayout = (x, y) => [tidy(x - model.get('left')), tidy(model.get('height') - y - model.get('low'))];

  function showPicture() {
    picture.innerHTML = model.get('picture');
    const drawn = picture.querySelector('svg');
    if (!drawn) return;
    over.setAttribute('viewBox', drawn.getAttribute('viewBox'));
    drawn.style.maxWidth = '100%';
    place();
  }

  function send(index, point, moving) {
    const points = model.get('points').map(p => [...p]);
    points[index] = point;
    model.set('points', points);
    model.set('moving', moving);
    model.save_changes();
    place();
  }

  function fromPointer(event) {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(over.getScreenCTM().inverse());
    return toLayout(at.x, at.y);
  }

  function handle(index) {
    const dot = document.createElementNS(SVG, 'circle');
    dot.setAttribute('tabindex', '0');
    dot.setAttribute('role', 'button');
    dot.setAttribute('class', 'mosaic-handle');
    dot.style.cssText = 'fill:#ffffffcc;stroke:#a5492a;cursor:grab;pointer-events:all;touch-action:none';
    dot.addEventListener('pointerdown', event => {
      event.preventDefault();
      dot.setPointerCapture(event.pointerId);
      dot.focus();
      dragged = index;
    });
    dot.addEventListener('pointermove', event => {
      if (dragged === index) send(index, fromPointer(event), true);
    });
    const release = event => {
      if (dragged !== index) return;
      dragged = null;
      send(index, fromPointer(event), false);
    };
    dot.addEventListener('pointerup', release);
    dot.addEventListener('pointercancel', release);
    dot.addEventListener('keydown', event => {
      const way = ARROWS[event.key];
      if (!way) return;
      event.preventDefault();
      event.stopPropagation();
      const far = model.get('step') * (event.shiftKey ? 10 : 1);
      const [x, y] = model.get('points')[index];
      send(index, [tidy(x + way[0] * far), tidy(y + way[1] * far)], false);
    });
    return dot;
  }

  function place() {
    const points = model.get('points');
    while (over.childNodes.length > points.length) over.lastChild.remove();
    while (over.childNodes.length < points.length) over.append(handle(over.childNodes.length));
    const size = (over.viewBox.baseVal.width || 200) / 75;
    points.forEach((point, index) => {
      const dot = over.childNodes[index];
      const [x, y] = toScreen(point);
      dot.setAttribute('cx', x);
      dot.setAttribute('cy', y);
      dot.setAttribute('r', size);
      dot.setAttribute('stroke-width', size / 3);
      dot.setAttribute('aria-label', `Point ${index + 1} of ${points.length}, ${point[0]} across, ${point[1]} up, in mm`);
    });
  }

  // A tap on a piece tells what it is: not everyone has a mouse to rest on it.
  picture.addEventListener('click', event => {
    const title = event.target.querySelector && event.target.querySelector(':scope > title');
    if (title && event.target.tagName !== 'svg') told.textContent = title.textContent;
  });

  model.on('change:picture', showPicture);
  model.on('change:points', place);
  showPicture();
}

export default { render };
