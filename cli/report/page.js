// SPDX-License-Identifier: Apache-2.0
// Correcting counts in the page (trays.js comes first). It reads what the page holds, remembers what a person
// sets, and saves that as a file for `braird check --counts`. It works out no rate: that is for the next report.

// Choosing a cell
const choose = (tray, cell, focus = true) => {
  const old = tray.map.querySelector('[tabindex]');
  old?.removeAttribute('tabindex');
  tray.map.querySelector('.here')?.remove();
  const element = tray.cells[cell];
  element.setAttribute('tabindex', '0');
  const ring = use('#ring');
  ring.setAttribute('class', 'here');
  ring.setAttribute('transform', element.getAttribute('transform'));
  tray.map.append(ring);
  chosen = { tray, cell };
  showEditor();
  if (focus) element.focus({ preventScroll: true });
  keepInView(element);
};
const keepInView = (element) => {
  const box = element.getBoundingClientRect(), floor = innerHeight - editor.offsetHeight;
  if (box.top < 0) scrollBy(0, box.top - 20);
  else if (box.bottom > floor) scrollBy(0, box.bottom - floor + 20);
};
const step = ({ tray, cell }, rows, cols) => {
  const row = Math.floor(cell / tray.cols) + rows, col = (cell % tray.cols) + cols;
  if (row >= 0 && row < tray.rows && col >= 0 && col < tray.cols) choose(tray, row * tray.cols + col);
};
const walkOn = (tray) => {
  const left = tray.walkAll.filter((cell) => !tray.set.has(cell));
  if (left.length) choose(tray, left[0]);
};

// The editor
const crop = (tray, cell) => {
  const size = 176, canvas = make('canvas', { width: size * 2, height: size * 2, role: 'img', 'aria-label': words.crop });
  const photo = document.getElementById('photo-' + tray.id);
  if (!photo) return make('p', { class: 'no-crop' }, words.noCrop);
  const half = tray.pitch, x = tray.x[cell] - half, y = tray.y[cell] - half;
  photo.decode().then(() => {
    const pen = canvas.getContext('2d'), scale = canvas.width / (2 * half);
    pen.imageSmoothingQuality = 'high';
    pen.drawImage(photo, x, y, 2 * half, 2 * half, 0, 0, canvas.width, canvas.height);
    pen.strokeStyle = '#f0e442';
    pen.lineWidth = 3;
    for (const [sx, sy] of [[-1, -1], [1, -1], [1, 1], [-1, 1]]) { // the cell's own corners
      const cx = canvas.width / 2 + sx * scale * half / 2, cy = canvas.height / 2 + sy * scale * half / 2;
      pen.beginPath();
      pen.moveTo(cx - sx * 22, cy);
      pen.lineTo(cx, cy);
      pen.lineTo(cx, cy - sy * 22);
      pen.stroke();
    }
  });
  return canvas;
};
const numberButtons = (tray, cell) => {
  const now = tray.set.get(cell);
  const group = make('div', { class: 'numbers', role: 'group', 'aria-label': words.editor });
  for (let count = 0; count <= 6; ++count)
    group.append(button(String(count), () => setCount(tray, cell, count),
      { 'aria-pressed': now === count, 'aria-label': inCell(count), 'data-count': count }));
  const more = make('input', { type: 'number', min: 0, max: 1000, inputmode: 'numeric', 'aria-label': words.more,
    placeholder: '7+', value: now > 6 ? now : '' });
  more.onchange = () => {
    const count = Math.round(Number(more.value));
    if (more.value !== '' && count >= 0 && count <= 1000) setCount(tray, cell, count);
  };
  group.append(more);
  return group;
};
const wholeSet = () => [...trays.values()].reduce((sum, tray) => sum + tray.set.size, 0);
const showEditor = () => {
  if (!chosen) return;
  const { tray, cell } = chosen, focused = document.activeElement?.dataset?.count, many = wholeSet();
  const again = editor.contains(document.activeElement);
  const row = Math.floor(cell / tray.cols) + 1, col = (cell % tray.cols) + 1;
  const before = tray.hand.includes(cell) ? 'checked' : 'counted';
  const done = tray.walkAll.filter((one) => tray.set.has(one)).length;
  const go = (by) => () => { const next = cell + by; if (next >= 0 && next < tray.counts.length) choose(tray, next, false); };
  editor.replaceChildren(
    crop(tray, cell),
    make('div', { class: 'panel' },
      make('p', { class: 'which', role: 'status' }, make('b', {}, say('title', row, col)), ' ',
        say(before, inCell(tray.counts[cell]))),
      numberButtons(tray, cell),
      make('div', { class: 'steps' },
        button('‹', go(-1), { 'aria-label': words.previous }), button('›', go(1), { 'aria-label': words.next }),
        button(words.reset, () => setCount(tray, cell, null), tray.set.has(cell) ? {} : { disabled: '' }),
        ...(tray.walkAll.length ? [button(say('walk', done, tray.walkAll.length), () => walkOn(tray), { class: 'walk', title: words.walkWhy })] : []),
        ...(many ? [button(many === 1 ? words.saveOne : say('save', many), save, { class: 'save' })] : []),
        button('×', close, { 'aria-label': words.close })),
      make('p', { class: 'state', role: 'status' }, many && unsaved ? words.unsaved : editor.dataset.saved ?? '')));
  editor.hidden = false;
  editor.setAttribute('aria-label', words.editor);
  document.body.style.setProperty('--editor', editor.offsetHeight + 'px');
  if (again) (focused === undefined ? editor.querySelector('.steps button:not([disabled])') : editor.querySelector(`[data-count="${focused}"]`))?.focus();
};
const close = () => {
  const { tray, cell } = chosen;
  editor.hidden = true;
  document.body.style.setProperty('--editor', '0px');
  tray.cells[cell].focus();
};

// The file
const quoted = (field) => (/[",\n\r]/.test(field) ? '"' + field.replace(/"/g, '""') + '"' : field);
const table = () => {
  const lines = ['tray,photo,row,col,count,drawn'];
  for (const tray of trays.values()) {
    // Cells drawn at random measure the counter only if all of them were looked at, not just those that struck the eye.
    const whole = tray.drawn.length > 0 && tray.drawn.every((cell) => tray.set.has(cell));
    for (const [cell, count] of [...tray.set].sort((a, b) => a[0] - b[0]))
      lines.push([quoted(tray.tray), tray.photo, Math.floor(cell / tray.cols) + 1, (cell % tray.cols) + 1, count,
        whole && tray.drawn.includes(cell) ? 'yes' : 'no'].join(','));
  }
  return lines.join('\n') + '\n';
};
const save = () => {
  const slug = document.title.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '');
  const name = `${words.file}-${slug}.csv`;
  const url = URL.createObjectURL(new Blob([table()], { type: 'text/csv' }));
  const link = make('a', { href: url, download: name, hidden: '' });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60000);
  unsaved = false;
  editor.dataset.saved = say('saved', name, name);
  showEditor();
};

// What a person does
const cellOf = (target) => {
  const element = target.closest?.('[role=gridcell]');
  if (!element) return null;
  const tray = trayOf(element.closest('.map').dataset.tray);
  return { tray, cell: tray.cells.indexOf(element) };
};
const cellInPhoto = (event) => {
  const photo = event.target.closest?.('.stack')?.querySelector('img');
  if (!photo) return null;
  const tray = trayOf(photo.id.replace('photo-', '')), box = photo.getBoundingClientRect();
  const x = (event.clientX - box.left) / box.width * photo.naturalWidth, y = (event.clientY - box.top) / box.height * photo.naturalHeight;
  let cell = 0, least = Infinity;
  tray.x.forEach((cx, at) => {
    const far = Math.hypot(cx - x, tray.y[at] - y);
    if (far < least) [cell, least] = [at, far];
  });
  return least < tray.pitch ? { tray, cell } : null;
};
document.addEventListener('click', (event) => {
  const at = cellOf(event.target) ?? cellInPhoto(event);
  if (at) choose(at.tray, at.cell);
  const pressed = event.target.closest?.('.toggle');
  if (pressed) pressed.setAttribute('aria-pressed', pressed.getAttribute('aria-pressed') !== 'true');
  const start = event.target.closest?.('[data-walk]');
  if (start) walkOn(trayOf(start.dataset.walk));
});
document.addEventListener('focusin', (event) => {
  const at = cellOf(event.target);
  if (at && event.target.matches(':focus-visible') && !(chosen?.tray === at.tray && chosen.cell === at.cell)) choose(at.tray, at.cell);
});
const moves = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };
document.addEventListener('keydown', (event) => {
  if (event.key === 'Escape' && !editor.hidden) return close();
  const at = cellOf(event.target);
  if (!at || event.altKey || event.metaKey) return;
  const turned = getComputedStyle(at.tray.map).getPropertyValue('--turned').trim() === '1';
  const last = at.tray.counts.length - 1, rowStart = at.cell - (at.cell % at.tray.cols);
  if (moves[event.key]) {
    const [down, right] = moves[event.key];
    if (turned) step(at, -right, down);
    else step(at, down, right);
  } else if (event.key === 'Home') choose(at.tray, event.ctrlKey ? 0 : rowStart);
  else if (event.key === 'End') choose(at.tray, event.ctrlKey ? last : rowStart + at.tray.cols - 1);
  else if (event.key === 'Enter' || event.key === ' ') {
    choose(at.tray, at.cell);
    editor.querySelector('[data-count]').focus();
  } else if (/^[0-9]$/.test(event.key) && !event.ctrlKey) setCount(at.tray, at.cell, Number(event.key));
  else if (event.key === 'Backspace' || event.key === 'Delete') setCount(at.tray, at.cell, null);
  else return;
  event.preventDefault();
});
const openTarget = () => {
  const target = document.getElementById(location.hash.slice(1));
  if (target) for (let at = target; at; at = at.parentElement) if (at.tagName === 'DETAILS') at.open = true;
  target?.scrollIntoView();
};
const openedToPrint = [];
addEventListener('beforeprint', () => {
  for (const part of document.querySelectorAll('details:not([open])')) openedToPrint.push(part);
  for (const part of openedToPrint) part.open = true;
});
addEventListener('afterprint', () => { for (const part of openedToPrint.splice(0)) part.open = false; });
addEventListener('hashchange', openTarget);
addEventListener('beforeunload', (event) => { if (unsaved && wholeSet()) event.preventDefault(); });
openTarget();
