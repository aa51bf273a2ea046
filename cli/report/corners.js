// SPDX-License-Identifier: Apache-2.0
// The corner cells of a photo that could not be counted, tapped in it: what to tell braird then. One program with page.js.
const cornersIn = (place) => {
  const picture = place.querySelector('img'), frame = place.querySelector('.picture'), marks = place.querySelector('svg');
  const tray = place.querySelector('[name=tray]'), staggered = place.querySelector('[name=staggered]');
  const said = place.querySelector('[role=status]'), command = place.querySelector('code');
  const { photo, scale } = place.dataset;
  let points = [], cross = null; // in the picture's own pixels; where the keyboard is

  const mark = (at, kind, text = '') => {
    const node = drawn('g');
    node.setAttribute('class', kind);
    node.setAttribute('transform', `translate(${at.x} ${at.y}) scale(${picture.naturalWidth / frame.clientWidth})`);
    node.innerHTML = `<circle r="11"/><path d="M-16 0H16M0-16V16"/><text x="14" y="-8">${text}</text>`;
    marks.append(node);
  };
  // As seen, clockwise from the one that was tapped first: so the second ends the first row.
  const clockwise = () => {
    const middle = (name) => points.reduce((sum, at) => sum + at[name], 0) / points.length;
    const turn = (at) => Math.atan2(at.y - middle('y'), at.x - middle('x'));
    const around = [...points].sort((a, b) => turn(a) - turn(b)), first = around.indexOf(points[0]);
    return [...around.slice(first), ...around.slice(0, first)];
  };
  const shell = (text) => (/^[\w./-]+$/.test(text) ? text : `'${text.replace(/'/g, `'\\''`)}'`);
  const show = () => {
    marks.setAttribute('viewBox', `0 0 ${picture.naturalWidth} ${picture.naturalHeight}`);
    marks.replaceChildren();
    const whole = points.length === 4, order = whole ? clockwise() : points;
    order.forEach((at, index) => mark(at, 'corner', index + 1));
    if (cross) mark(cross, 'cross');
    said.textContent = whole ? (tray.value.trim() ? words.cornersDone : words.cornersTray) : say('cornersLeft', 4 - points.length);
    command.hidden = !(whole && tray.value.trim());
    const spots = order.map((at) => `${Math.round(at.x / scale)},${Math.round(at.y / scale)}`).join(' ');
    command.textContent = `braird count --tray ${shell(tray.value.trim())}${staggered.checked ? ' --lattice staggered' : ''} --corners ${spots} ${shell(photo)}`;
  };
  const set = (at) => {
    if (points.length < 4) points.push(at);
    else { // the nearest one was meant better
      const far = points.map((one) => Math.hypot(one.x - at.x, one.y - at.y));
      points[far.indexOf(Math.min(...far))] = at;
    }
    show();
  };
  frame.addEventListener('click', (event) => {
    const box = picture.getBoundingClientRect();
    cross = null;
    set({ x: (event.clientX - box.left) / box.width * picture.naturalWidth, y: (event.clientY - box.top) / box.height * picture.naturalHeight });
  });
  frame.addEventListener('keydown', (event) => {
    const move = moves[event.key], wide = picture.naturalWidth, high = picture.naturalHeight;
    if (!move && event.key !== 'Enter' && event.key !== ' ') return;
    event.preventDefault();
    cross ??= { x: wide / 2, y: high / 2 };
    const far = wide / (event.shiftKey ? 400 : 50);
    if (move) cross = { x: Math.min(wide, Math.max(0, cross.x + move[1] * far)), y: Math.min(high, Math.max(0, cross.y + move[0] * far)) };
    else set({ ...cross });
    show();
  });
  place.querySelector('button').onclick = () => { points = []; cross = null; show(); };
  tray.oninput = staggered.onchange = show;
  picture.decode().then(show);
};
document.querySelectorAll('.uncounted').forEach((place) => { if (place.querySelector('img')) cornersIn(place); });
