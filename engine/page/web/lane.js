/** What is taken of a room, or wanted of a crew, day by day, against what it holds. */
import { h } from './ui.js';
import { isoDay, dayText } from './days.js';

const height = 44;

/** The days on which more is wanted than there is, in runs. */
function runs(lane, limitOn) {
  const out = [];
  lane.taken.forEach((value, i) => {
    if (value <= limitOn(i) + 1e-6) return;
    const last = out[out.length - 1];
    if (last && last[1] === i - 1) last[1] = i;
    else out.push([i, i]);
  });
  return out;
}

export function Lane({ lane, limit, there, unit, scale }) {
  const { first, perDay, left, width, label } = scale;
  const limitOn = (i) => (there ? there[i] || 0 : limit == null ? Infinity : limit);
  const most = Math.max(1e-9, ...lane.taken, there ? Math.max(...there, 0) : limit || 0);
  const x = (i) => (lane.first + i - first) * perDay - left;
  const y = (value) => height - 2 - (value / most) * (height - 8);
  let area = '';
  let line = '';
  lane.taken.forEach((value, i) => {
    if (x(i + 1) < 0 || x(i) > width) return;
    area += `M${x(i)} ${height - 2}V${y(value)}H${x(i + 1)}V${height - 2}Z`;
    if (there) line += `M${x(i)} ${y(there[i] || 0)}H${x(i + 1)}`;
  });
  if (!there && limit != null) line = `M0 ${y(limit)}H${width}`;
  const over = runs(lane, limitOn);
  const peak = Math.max(0, ...lane.taken);
  const said = over.slice(0, 3).map(([a, b]) => (a === b ? dayText(isoDay(lane.first + a), false) : `${dayText(isoDay(lane.first + a), false)} to ${dayText(isoDay(lane.first + b), false)}`)).join(', ');
  const text = over.length > 0 ? `too much on ${said}${over.length > 3 ? ` and ${over.length - 3} more` : ''}` : limit != null || there ? 'fits' : 'holds any amount';
  return h('div', { class: 'lane' },
    h('div', { class: 'label', style: { width: `${label}px` } }, h('b', null, lane.name), h('small', null, `at most ${Math.round(peak * 10) / 10}${limit != null ? ` of ${limit}` : ''} ${unit}; `), h('small', { class: over.length > 0 ? 'sign' : '' }, text)),
    h('svg', { width: Math.max(0, width - label), height, role: 'img', 'aria-label': `${lane.name}: ${text}`, viewBox: `0 0 ${Math.max(1, width - label)} ${height}` },
      h('path', { class: 'taken', d: area }), over.map(([a, b]) => h('rect', { class: 'over', x: x(a), y: 1, width: x(b + 1) - x(a), height: height - 2 })), h('path', { class: 'limit', d: line })));
}
