// SPDX-License-Identifier: Apache-2.0
// The page's trays: what it says of them, what a person set, and how a set cell looks. One program with page.js.
'use strict';
const words = JSON.parse(document.getElementById('words').textContent);
const editor = document.getElementById('editor');
const trays = new Map();
let chosen = null; // {tray, cell}
let unsaved = false;

const say = (name, ...values) => words[name].replace(/\{\}/g, () => values.shift());
const inCell = (count) => words.inCell[count] ?? say('many', count);
const make = (tag, attributes = {}, ...content) => {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name === 'onclick' || name === 'onchange') element[name] = value;
    else element.setAttribute(name, value);
  }
  element.append(...content);
  return element;
};
const button = (text, onclick, more = {}) => make('button', { type: 'button', onclick, ...more }, text);

// Trays: what the page says of them, and what was set. Set counts outlive a closed page where the browser allows.
const storage = (tray, value) => {
  try {
    if (value === undefined) return JSON.parse(localStorage.getItem('braird ' + tray.photo) ?? '[]');
    localStorage.setItem('braird ' + tray.photo, value);
  } catch { /* private windows keep nothing */ }
  return [];
};
const trayOf = (id) => {
  if (!trays.has(id)) {
    const holder = document.getElementById(id);
    const tray = JSON.parse(holder.querySelector('.tray-data').textContent);
    tray.map = holder.querySelector('.map');
    tray.cells = [...tray.map.querySelectorAll('[role=gridcell]')];
    tray.walkAll = [...tray.drawn, ...tray.walk].sort((a, b) => a - b);
    const noted = ([cell, count]) => tray.hand.includes(cell) && tray.counts[cell] === count; // by an earlier file
    tray.set = new Map(storage(tray).filter((one) => one[0] < tray.counts.length && !noted(one)));
    tray.before = new Map();
    trays.set(id, tray);
    for (const cell of tray.set.keys()) paint(tray, cell);
    unsaved = unsaved || tray.set.size > 0;
  }
  return trays.get(id);
};

const nameOf = (tray, cell) => {
  const row = Math.floor(cell / tray.cols) + 1, col = (cell % tray.cols) + 1;
  return say('cell', row, col, inCell(tray.set.get(cell))) + ', ' + words.changed;
};
const paint = (tray, cell) => {
  const element = tray.cells[cell];
  if (!tray.before.has(cell)) tray.before.set(cell, [element.innerHTML, element.getAttribute('aria-label')]);
  const [drawing, name] = tray.before.get(cell);
  element.innerHTML = drawing;
  element.setAttribute('aria-label', name);
  if (!tray.set.has(cell)) return;
  const [well, , ...flags] = element.children;
  flags.forEach((flag) => flag.remove());
  well.nextElementSibling.setAttribute('href', '#n' + Math.min(tray.set.get(cell), 12));
  element.append(use('#set'));
  element.setAttribute('aria-label', nameOf(tray, cell));
};
const drawn = (name) => document.createElementNS('http://www.w3.org/2000/svg', name);
const use = (href) => {
  const element = drawn('use');
  element.setAttribute('href', href);
  return element;
};

const setCount = (tray, cell, count) => {
  if (count === null) tray.set.delete(cell);
  else tray.set.set(cell, count);
  unsaved = true;
  storage(tray, JSON.stringify([...tray.set]));
  paint(tray, cell);
  showEditor();
};
