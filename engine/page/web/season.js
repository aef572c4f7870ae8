/** The season: batches along the days, rooms and crews below. A batch that is dragged is tried, not moved. */
import { h, Component, Link, address, go, whole } from './ui.js';
import { get, listen, may, state } from './server.js';
import { isoDay, dayText, monthText, dayOfMonth, weekday, thisDay, dayNumber } from './days.js';
import { trial, want, attempt, tryOut, cellKey } from './trial.js';
import { TrialPanel } from './trial_panel.js';
import { Conflicts } from './conflicts.js';
import { Lane } from './lane.js';

const rowHeight = 30;
const labelWidth = innerWidth < 700 ? 110 : 170;
const axisHeight = 44;
const zooms = [3, 6, 12, 24];  // pixels a day

export class Season extends Component {
  constructor(props) {
    super(props);
    this.state = { data: null, zoom: innerWidth < 700 ? 0 : 1, top: 0, left: 0, width: 1000, height: 500, drag: null, at: 0 };
  }
  componentDidMount() {
    this.silence = [listen('planned', () => this.load()), listen('trial', () => this.setState({}, () => this.measure()))];
    this.resize = () => this.measure();
    addEventListener('resize', this.resize);
    this.load();
  }
  componentWillUnmount() {
    this.silence.forEach((end) => end());
    removeEventListener('resize', this.resize);
  }
  async load() {
    const data = await get('season');
    let first = Infinity;
    let last = -Infinity;
    for (const batch of data.batches) {
      for (const [start, end] of batch.bars) {
        first = Math.min(first, start);
        last = Math.max(last, end);
      }
    }
    if (first > last) first = last = dayNumber(thisDay());
    const fresh = !this.state.data;
    this.setState({ data, first: first - 7, last: last + 14 }, () => {
      this.measure();
      if (fresh) this.find(this.props.query.batch);
    });
  }
  measure() {
    if (this.box) this.setState({ width: this.box.clientWidth, height: this.box.clientHeight });
  }
  /** Brings a batch into sight; without one the day of today. */
  find(id) {
    const { data, zoom, first } = this.state;
    const at = data.batches.findIndex((one) => one.id === id);
    if (at >= 0) {
      this.box.scrollTop = Math.max(0, at * rowHeight - 60);
      if (data.batches[at].bars.length > 0) this.box.scrollLeft = Math.max(0, (data.batches[at].bars[0][0] - first) * zooms[zoom] - 40);
      this.setState({ at });
    } else if (data.today) {
      this.box.scrollLeft = Math.max(0, (data.today - first - 14) * zooms[zoom]);
    }
  }
  px(days) { return days * zooms[this.state.zoom]; }
  x(day) { return this.px(day - this.state.first); }

  /** Where the stages of a batch stand while something is tried: as the engine has answered. */
  tried(batch) {
    const protocol = this.state.data.protocols[batch.protocol];
    const whole_ = trial.tried && trial.tried.bars.find((one) => one.id === batch.id);
    let moved = false;
    const bars = protocol.stages.map((stage, i) => {
      const start = trial.values.get(cellKey(batch.id, `${stage.name}.start`));
      const end = trial.values.get(cellKey(batch.id, `${stage.name}.end`));
      moved = moved || !!start || !!end;
      const now = batch.bars[i] || [null, null];
      return [start ? start.day : now[0], end ? end.day : now[1]];
    });
    if (moved) return bars;
    return whole_ && trial.wanted.length > 0 ? whole_.bars : null;
  }

  // Dragging: the engine is asked for each day that the pointer crosses, one question at a time.
  press(event, batch) {
    if (event.button > 0 || batch.ready === null) return;
    this.setState({ drag: { batch, from: event.clientX, days: 0 } });
    event.currentTarget.setPointerCapture(event.pointerId);
  }
  pull(event) {
    const { drag, zoom } = this.state;
    if (!drag) return;
    const days = Math.round((event.clientX - drag.from) / zooms[zoom]);
    if (days === drag.days) return;
    drag.days = days;
    this.move(drag.batch, days);
  }
  release() {
    const { drag } = this.state;
    if (!drag) return;
    this.setState({ drag: null });
    if (drag.days === 0) return go(address('batch', { batch: drag.batch.id }));
    attempt(true);
  }
  /** The date by which a batch is planned, so many days later than it is in the book. */
  async move(batch, days) {
    const key = batch.key;
    const from = key === 'ready' ? batch.ready : batch.bars.reduce((least, [start]) => Math.min(least, start), Infinity);
    want(`${batch.id}.${key}=${isoDay(from + days)}`);
    this.again = true;
    if (this.asking) return;
    this.asking = true;
    while (this.again) {
      this.again = false;
      await attempt(false);
    }
    this.asking = false;
  }
  daysOf(batch) {
    const mine = trial.wanted.find((one) => one.change.startsWith(`${batch.id}.${batch.key}=`));
    if (!mine) return 0;
    const from = batch.key === 'ready' ? batch.ready : batch.bars.reduce((least, [start]) => Math.min(least, start), Infinity);
    return dayNumber(mine.change.slice(mine.change.indexOf('=') + 1)) - from;
  }
  key(event) {
    const { data, at, height } = this.state;
    const batch = data.batches[at];
    if (event.key === 'ArrowDown' || event.key === 'ArrowUp') {
      const next = Math.max(0, Math.min(data.batches.length - 1, at + (event.key === 'ArrowDown' ? 1 : -1)));
      this.setState({ at: next });
      const y = next * rowHeight;
      if (y < this.box.scrollTop) this.box.scrollTop = y;
      if (y + rowHeight > this.box.scrollTop + height - axisHeight) this.box.scrollTop = y + rowHeight - height + axisHeight;
    } else if ((event.key === 'ArrowLeft' || event.key === 'ArrowRight') && batch && batch.ready !== null) {
      const step = (event.key === 'ArrowRight' ? 1 : -1) * (event.shiftKey ? 7 : 1);
      this.move(batch, this.daysOf(batch) + step);
      clearTimeout(this.timer);
      this.timer = setTimeout(() => attempt(true), 400);
    } else if (event.key === 'Enter' && batch) {
      go(address('batch', { batch: batch.id }));
    } else {
      return;
    }
    event.preventDefault();
  }

  axis() {
    const { first, last, zoom } = this.state;
    const marks = [];
    for (let day = first; day <= last; ++day) {
      const month = dayOfMonth(day) === 1;
      if (month) marks.push(h('span', { key: `m${day}`, class: 'month', style: { left: `${this.x(day)}px` } }, monthText(day)));
      if (weekday(day) === 1 && zooms[zoom] >= 6) marks.push(h('span', { key: day, class: 'monday', style: { left: `${this.x(day)}px` } }, dayOfMonth(day)));
    }
    return h('div', { class: 'axis', 'aria-hidden': 'true', style: { marginLeft: `${labelWidth}px` } }, marks);
  }
  bar(batch, i, [start, end], kind) {
    if (start == null || end == null) return null;
    const protocol = this.state.data.protocols[batch.protocol];
    const stage = protocol.stages[i];
    const width = Math.max(3, this.px(end - start));
    return h('span', { key: `${kind}${i}`, class: `bar fill-${stage.room % 10} ${kind} ${['upper', 'lower'][stage.lane] || ''}`, title: `${stage.title}: ${dayText(isoDay(start))} to ${dayText(isoDay(end))}`,
      style: { left: `${labelWidth + this.x(start)}px`, width: `${width}px` } });
  }
  batchRow(batch, i) {
    const tried = this.tried(batch);
    const title = this.state.data.protocols[batch.protocol].title;
    const when = batch.ready === null ? 'without dates' : `ready on ${dayText(isoDay(batch.ready))}`;
    return h('div', { key: batch.id, id: i === this.state.at ? 'season-here' : null, role: 'row', class: `season-row ${i === this.state.at ? 'here' : ''} ${batch.over ? 'over' : ''}`,
      style: { top: `${axisHeight + i * rowHeight}px` }, 'aria-label': `${batch.label}, ${title}, ${whole(batch.plants)} plants, ${when}` },
    h('span', { role: 'rowheader', class: 'label', style: { width: `${labelWidth}px` } }, h(Link, { to: address('batch', { batch: batch.id }), tabindex: -1 }, batch.label), h('small', null, ` ${whole(batch.plants)}`)),
    h('span', { role: 'gridcell', class: 'bars', title: `${title}, ${when}`, onPointerDown: (event) => { this.setState({ at: i }); this.press(event, batch); }, onPointerMove: (event) => this.pull(event), onPointerUp: () => this.release() },
      batch.bars.map((span, stage) => this.bar(batch, stage, span, tried ? 'was' : '')), tried && tried.map((span, stage) => this.bar(batch, stage, span, 'tried'))));
  }
  render({ query }, { data, top, left, width, height, zoom, first, last }) {
    if (!data) return h('p', { class: 'wait', role: 'status' }, 'One moment …');
    const days = last - first;
    const from = Math.max(0, Math.floor(top / rowHeight) - 4);
    const to = Math.min(data.batches.length, Math.ceil((top + height) / rowHeight) + 4);
    const now = data.today || dayNumber(thisDay());
    const rows = [];
    for (let i = from; i < to; ++i) rows.push(this.batchRow(data.batches[i], i));
    const scale = { first, last, perDay: zooms[zoom], left, width, label: labelWidth };
    const tall = Math.min(axisHeight + data.batches.length * rowHeight + 18, Math.max(260, innerHeight * 0.55));
    return h('div', { class: 'season' },
      h('div', { class: 'chooser' }, h('h1', null, 'Season'),
        h('span', { class: 'tools' }, h('button', { onClick: () => this.setState({ zoom: Math.max(0, zoom - 1) }), disabled: zoom === 0 }, 'More days'),
          h('button', { onClick: () => this.setState({ zoom: Math.min(zooms.length - 1, zoom + 1) }), disabled: zoom === zooms.length - 1 }, 'Fewer days')),
        h('p', { class: 'under' }, 'Drag a batch, or choose it and press the arrow keys: nothing is kept until you say so.')),
      h('div', { class: 'beside' },
        h('div', { class: 'season-box', role: 'grid', tabindex: 0, 'aria-label': `Batches from ${dayText(isoDay(first))} to ${dayText(isoDay(last))}`, 'aria-activedescendant': 'season-here', style: { height: `${tall}px` },
          ref: (box) => { this.box = box; }, onScroll: () => this.setState({ top: this.box.scrollTop, left: this.box.scrollLeft }), onKeyDown: (event) => this.key(event) },
        h('div', { class: 'all', role: 'rowgroup', style: { height: `${axisHeight + data.batches.length * rowHeight}px`, width: `${labelWidth + this.px(days)}px` } },
          this.axis(),
          now >= first && now <= last && h('span', { class: 'now', style: { left: `${labelWidth + this.x(now)}px` }, title: 'Today' }),
          rows)),
        h(TrialPanel)),
      h('p', { class: 'legend' }, data.room_names.map((name, i) => name && h('span', null, h('b', { class: `box fill-${i % 10}` }), ` ${name}`))),
      h(Conflicts, { conflicts: data.conflicts, attempt: tryOut }),
      data.conflict_count > data.conflicts.length && h('p', { class: 'under' }, `and ${data.conflict_count - data.conflicts.length} more.`),
      h('h2', null, 'Rooms'), data.rooms.map((room) => h(Lane, { key: room.name, lane: room, limit: room.holds, unit: room.unit, scale })),
      h('h2', null, 'Crews'), data.crews.map((crew) => h(Lane, { key: crew.name, lane: { ...crew, taken: crew.wanted }, there: crew.known ? crew.there : null, unit: 'h', scale })));
  }
}
