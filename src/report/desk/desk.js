'use strict';
// Makes the desk's forms live. Each works without it.
const form = document.getElementById('asked');
const state = document.getElementById('state');
const say = words => { if (state) state.textContent = words; };

// The newest question counts; older ones are given up.
let asking = null;
async function ask(focus) {
  if (asking) asking.abort();
  asking = new AbortController();
  const fields = new URLSearchParams(new FormData(form));
  const posts = form.method === 'post';
  const address = posts ? form.action : form.action.split('?')[0] + '?' + fields;
  const sent = { method: posts ? 'POST' : 'GET', signal: asking.signal };
  if (posts) sent.body = fields;
  say('Calculating');
  try {
    const reply = await fetch(address, sent);
    if (!reply.ok) throw new Error(await reply.text());
    const page = new DOMParser().parseFromString(await reply.text(), 'text/html');
    const own = document.getElementById('answer');
    own.replaceChildren(...document.importNode(page.getElementById('answer'), true).childNodes);
    say('Answered');
    if (focus) own.focus();
  } catch (fault) {
    if (fault.name !== 'AbortError') say('No answer: ' + fault.message);
  }
}

if (form) {
  form.addEventListener('submit', event => {
    if (event.submitter && 'saves' in event.submitter.dataset) return;
    event.preventDefault();
    ask(true);
  });
  if ('live' in form.dataset) {
    form.addEventListener('input', event => {
      const told = form.querySelector('output[for="' + event.target.id + '"]');
      if (told) told.textContent = event.target.value + ' ' + told.textContent.split(' ').slice(1).join(' ');
      ask(false);
    });
  }
}

// Draws an outline: a click or Enter sets a corner, Backspace takes the last away.
const SVG = 'http://www.w3.org/2000/svg';
function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}
function drawer(field) {
  const area = field.querySelector('textarea');
  const wide = 120, high = 80;
  let cross = [wide / 2, high / 2];
  const picture = element('svg', { viewBox: `0 0 ${wide} ${high}`, class: 'draw', tabindex: 0, role: 'application',
    'aria-label': `Draw the outline on ${wide} by ${high} m: arrow keys move the cross by 1 m, with Shift by 10 m; Enter sets a corner; Backspace takes the last one away` });
  const told = document.createElement('p');
  told.setAttribute('role', 'status');
  told.className = 'quiet';
  const corners = () => area.value.split('\n').map(line => line.trim().split(/[\s,;]+/).map(Number))
    .filter(pair => pair.length === 2 && pair.every(Number.isFinite));
  const draw = words => {
    const all = corners();
    const at = ([x, y]) => [x, high - y];
    const polygon = element('polygon', { points: all.map(one => at(one).join(',')).join(' ') });
    const dots = all.map(one => element('circle', { cx: at(one)[0], cy: at(one)[1], r: 1 }));
    const [x, y] = at(cross);
    const lines = [[x - 3, y, x + 3, y], [x, y - 3, x, y + 3]]
      .map(([x1, y1, x2, y2]) => element('line', { class: 'cross', x1, y1, x2, y2 }));
    picture.replaceChildren(polygon, ...dots, ...lines);
    told.textContent = words || '';
  };
  const set = all => { area.value = all.map(one => one.join(', ')).join('\n'); };
  const add = place => {
    cross = place;
    const all = [...corners(), place];
    set(all);
    draw(`Corner ${all.length} at ${place[0]} m east, ${place[1]} m north`);
  };
  picture.addEventListener('pointerdown', event => {
    const box = picture.getBoundingClientRect();
    const half = number => Math.round(number * 2) / 2;
    add([half((event.clientX - box.left) / box.width * wide), half(high - (event.clientY - box.top) / box.height * high)]);
  });
  picture.addEventListener('keydown', event => {
    const by = event.shiftKey ? 10 : 1;
    const moves = { ArrowLeft: [-by, 0], ArrowRight: [by, 0], ArrowUp: [0, by], ArrowDown: [0, -by] };
    if (event.key in moves) {
      const [x, y] = moves[event.key];
      cross = [Math.min(wide, Math.max(0, cross[0] + x)), Math.min(high, Math.max(0, cross[1] + y))];
      draw(`${cross[0]} m east, ${cross[1]} m north`);
    } else if (event.key === 'Enter') {
      add(cross);
    } else if (event.key === 'Backspace') {
      set(corners().slice(0, -1));
      draw('The last corner is gone');
    } else {
      return;
    }
    event.preventDefault();
  });
  area.addEventListener('input', () => draw());
  field.append(picture, told);
  draw(`Draw on ${wide} by ${high} m: click, or use arrow keys and Enter; Backspace takes the last corner away`);
}
document.querySelectorAll('[data-draws]').forEach(drawer);
