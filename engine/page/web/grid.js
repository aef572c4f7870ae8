/**
 * A grid of very many values of which only those in sight are drawn. It knows nothing of what the
 * values mean: `props` gives
 *   columns  [{name, title, group, unit, change}]
 *   count    of rows
 *   row(i)   {batch, label, values, signs}, or null while it is on its way
 *   cell(row, column)  what is shown: {text, sign, mark}
 *   on       {edit(row, column, text, was), why(row, column), paste(row, column, lines), sort(column), undo(), redo()}
 */
import { h, Component } from './ui.js';

const rowHeight = 30;
const headHeight = 92;
const firstWidth = 150;
const columnWidth = 134;
const extra = 3;  // rows and columns beyond the edge

/** A long name may go on in a second line after any of its words: "scion_" "germination". */
function breakable(name) {
  const words = name.split('_');
  return words.map((word, i) => (i + 1 < words.length ? [`${word}_`, h('wbr')] : word));
}

export class Grid extends Component {
  constructor(props) {
    super(props);
    this.state = { top: 0, left: 0, width: 900, height: 500, row: 0, column: 0, toRow: 0, toColumn: 0, editing: null };
  }
  componentDidMount() {
    this.measure();
    this.resize = () => this.measure();
    addEventListener('resize', this.resize);
  }
  componentWillUnmount() { removeEventListener('resize', this.resize); }
  measure() {
    if (this.box) this.setState({ width: this.box.clientWidth, height: this.box.clientHeight });
  }
  componentDidUpdate(before, was) {
    if (this.state.editing !== null && was.editing === null && this.input) {
      this.input.focus();
      if (this.state.whole) this.input.select();
    }
  }
  scrolled() {
    this.setState({ top: this.box.scrollTop, left: this.box.scrollLeft });
  }
  /** Goes to a value, with `extend` keeping the other corner of the block, and brings it into sight. */
  move(row, column, extend) {
    const { count, columns } = this.props;
    row = Math.max(0, Math.min(count - 1, row));
    column = Math.max(0, Math.min(columns.length - 1, column));
    const next = extend ? { toRow: row, toColumn: column } : { row, column, toRow: row, toColumn: column };
    this.setState({ ...next, editing: null });
    const y = row * rowHeight;
    const x = column * columnWidth;
    const { height, width } = this.state;
    if (y < this.box.scrollTop) this.box.scrollTop = y;
    if (y + rowHeight > this.box.scrollTop + height - headHeight) this.box.scrollTop = y + rowHeight - height + headHeight;
    if (x < this.box.scrollLeft) this.box.scrollLeft = x;
    if (x + columnWidth > this.box.scrollLeft + width - firstWidth) this.box.scrollLeft = x + columnWidth - width + firstWidth;
  }
  edit(text, whole) {
    const { row, column } = this.state;
    const data = this.props.row(row);
    if (!data || !this.props.columns[column].change) return;
    // What stood there when it was begun: meanwhile somebody else may change it.
    this.was = this.props.cell(data, column).text;
    this.setState({ editing: text === null ? this.was : text, whole });
  }
  finish(down, right) {
    const { row, column, editing } = this.state;
    const data = this.props.row(row);
    this.setState({ editing: null });
    if (data && editing !== null && editing !== this.was) this.props.on.edit(data, column, editing, this.was);
    this.move(row + down, column + right, false);
    this.box.focus({ preventScroll: true });
  }
  block() {
    const { row, column, toRow, toColumn } = this.state;
    return { top: Math.min(row, toRow), bottom: Math.max(row, toRow), left: Math.min(column, toColumn), right: Math.max(column, toColumn) };
  }
  key(event) {
    const { toRow, toColumn, editing, height } = this.state;
    if (editing !== null) return;
    const page = Math.max(1, Math.floor((height - headHeight) / rowHeight) - 1);
    const { count, columns, on } = this.props;
    const control = event.ctrlKey || event.metaKey;
    const to = {
      ArrowDown: [control ? count : toRow + 1, toColumn], ArrowUp: [control ? 0 : toRow - 1, toColumn],
      ArrowRight: [toRow, control ? columns.length : toColumn + 1], ArrowLeft: [toRow, control ? 0 : toColumn - 1],
      PageDown: [toRow + page, toColumn], PageUp: [toRow - page, toColumn],
      Home: [control ? 0 : toRow, 0], End: [control ? count : toRow, columns.length],
    }[event.key];
    if (event.key === 'Enter' && event.altKey) {
      const data = this.props.row(this.state.row);
      if (data) on.why(data, this.state.column);
    } else if (to && !event.altKey) {
      this.move(to[0], to[1], event.shiftKey);
    } else if (event.key === 'Enter' || event.key === 'F2') {
      this.edit(null, true);
    } else if (control && event.key.toLowerCase() === 'z') {
      if (event.shiftKey) on.redo(); else on.undo();
    } else if (control && event.key.toLowerCase() === 'y') {
      on.redo();
    } else if (event.key.length === 1 && !control && !event.altKey) {
      this.edit(event.key, false);
    } else {
      return;
    }
    event.preventDefault();
  }
  copy(event) {
    if (this.state.editing !== null) return;
    const { top, bottom, left, right } = this.block();
    const lines = [];
    for (let i = top; i <= bottom; ++i) {
      const data = this.props.row(i);
      if (!data) continue;
      const cells = [];
      for (let column = left; column <= right; ++column) cells.push(this.props.cell(data, column).text.replace(/[\t\n]/g, ' '));
      lines.push(cells.join('\t'));
    }
    event.clipboardData.setData('text/plain', lines.join('\n'));
    event.preventDefault();
  }
  paste(event) {
    if (this.state.editing !== null) return;
    const lines = event.clipboardData.getData('text/plain').replace(/\r/g, '').replace(/\n$/, '').split('\n').map((line) => line.split('\t'));
    this.props.on.paste(this.block().top, this.block().left, lines);
    event.preventDefault();
  }
  cellAt(i, data, column) {
    const { row, column: at, editing } = this.state;
    const place = { style: { left: `${firstWidth + column * columnWidth}px`, width: `${columnWidth}px` } };
    const here = i === row && column === at;
    const { top, bottom, left, right } = this.block();
    const chosen = i >= top && i <= bottom && column >= left && column <= right;
    if (here && editing !== null) {
      return h('div', { key: column, role: 'gridcell', class: 'cell here', ...place },
        h('input', { ref: (input) => { this.input = input; }, value: editing, 'aria-label': this.props.columns[column].name,
          onInput: (event) => this.setState({ editing: event.target.value }), onBlur: () => this.state.editing !== null && this.finish(0, 0),
          onKeyDown: (event) => {
            if (event.key === 'Enter') this.finish(event.shiftKey ? -1 : 1, 0);
            else if (event.key === 'Tab') this.finish(0, event.shiftKey ? -1 : 1);
            else if (event.key === 'Escape') { this.setState({ editing: null }); this.box.focus({ preventScroll: true }); }
            else return;
            event.preventDefault();
            event.stopPropagation();
          } }));
    }
    const shown = data ? this.props.cell(data, column) : { text: '…', sign: '', mark: '' };
    return h('div', { key: column, id: here ? 'grid-here' : null, role: 'gridcell', 'aria-colindex': column + 2, 'aria-selected': String(chosen),
      'aria-readonly': String(!this.props.columns[column].change),
      class: `cell ${shown.mark} ${here ? 'here' : chosen ? 'chosen' : ''} ${this.props.columns[column].change ? 'open' : ''}`, ...place,
      onMouseDown: (event) => { this.move(i, column, event.shiftKey); this.box.focus({ preventScroll: true }); event.preventDefault(); },
      onDblClick: () => this.edit(null, true) },
    shown.text, shown.sign && shown.sign !== ' ' && h('sup', { title: shown.means }, shown.sign));
  }
  render({ columns, count, on, sorted }, { top, left, width, height, row, column }) {
    const first = Math.max(0, Math.floor(top / rowHeight) - extra);
    const last = Math.min(count, Math.ceil((top + height) / rowHeight) + extra);
    const begin = Math.max(0, Math.floor(left / columnWidth) - extra);
    const end = Math.min(columns.length, Math.ceil((left + width) / columnWidth) + extra);
    const inSight = [];
    for (let i = begin; i < end; ++i) inSight.push(i);
    const rows = [];
    for (let i = first; i < last; ++i) {
      const data = this.props.row(i);
      rows.push(h('div', { key: i, role: 'row', 'aria-rowindex': i + 2, class: 'row', style: { top: `${headHeight + i * rowHeight}px` } },
        h('div', { role: 'rowheader', 'aria-colindex': 1, class: 'cell first' }, data ? data.label : '…'),
        inSight.map((one) => this.cellAt(i, data, one))));
    }
    return h('div', { class: 'grid', role: 'grid', tabindex: 0, style: { height: `${headHeight + count * rowHeight + 20}px` }, 'aria-label': 'Values of batches', 'aria-rowcount': count + 1, 'aria-colcount': columns.length + 1,
      'aria-activedescendant': 'grid-here', ref: (box) => { this.box = box; }, onScroll: () => this.scrolled(), onKeyDown: (event) => this.key(event),
      onCopy: (event) => this.copy(event), onPaste: (event) => this.paste(event) },
    h('div', { class: 'all', role: 'presentation', style: { height: `${headHeight + count * rowHeight}px`, width: `${firstWidth + columns.length * columnWidth}px` } },
      h('div', { class: 'head', role: 'row', 'aria-rowindex': 1 },
        h('div', { role: 'columnheader', 'aria-colindex': 1, class: 'cell first' }, 'Batch'),
        inSight.map((one) => h('div', { key: one, role: 'columnheader', 'aria-colindex': one + 2, 'aria-sort': sorted.name === columns[one].name ? (sorted.down ? 'descending' : 'ascending') : null,
          class: 'cell', title: columns[one].title, style: { left: `${firstWidth + one * columnWidth}px`, width: `${columnWidth}px` } },
        h('button', { tabindex: -1, onClick: () => on.sort(columns[one]) }, h('span', { class: 'group' }, one === begin || columns[one].group !== columns[one - 1].group ? columns[one].group : ''),
          h('b', null, breakable(columns[one].short), sorted.name === columns[one].name ? (sorted.down ? ' ↓' : ' ↑') : ''), h('span', { class: 'unit' }, columns[one].unit))))),
      h('div', { role: 'rowgroup' }, rows)));
  }
}
