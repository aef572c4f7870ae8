/** The frame around all views: where one is, who is here, what waits. */
import { h, Component, render, Link, address } from './ui.js';
import { state, listen, learn, connect, post } from './server.js';
import { waiting, refused, forget, whoNotes, setWhoNotes } from './outbox.js';
import { Today } from './today.js';
import { Season } from './season.js';
import { Sheet } from './sheet.js';
import { Batch } from './batch.js';
import { Why } from './why.js';
import { Needs } from './needs.js';
import { Results } from './results.js';
import { Methods } from './methods.js';
import { Help } from './help.js';
import { SignIn } from './sign_in.js';

const views = [
  ['today', 'Today', Today], ['season', 'Season', Season], ['sheet', 'Sheet', Sheet], ['batch', 'Batch', Batch],
  ['needs', 'Needs', Needs], ['why', 'Why', Why], ['results', 'Results', Results], ['methods', 'Methods', Methods],
  ['help', 'Help', Help],
];

/** Where one is: the name of a view, and what it is asked. */
function here() {
  const name = location.pathname.slice(1) || 'today';
  return { view: views.some(([key]) => key === name) ? name : 'today', query: Object.fromEntries(new URLSearchParams(location.search)) };
}

class App extends Component {
  constructor() {
    super();
    this.state = { ...here(), ready: false, reached: true, behind: false, signIn: false, menu: false, problem: '' };
  }
  componentDidMount() {
    addEventListener('popstate', () => {
      const before = this.state.view;
      this.setState({ ...here(), menu: false });
      if (before !== here().view) this.focusView();
    });
    listen('reached', (reached) => this.state.reached !== reached && this.setState({ reached }));
    listen('behind', (behind) => this.setState({ behind }));
    listen('state', () => this.setState({ ready: true, signIn: false }));
    listen('outbox', () => this.setState({}));
    listen('outbox-problem', (problem) => this.setState({ problem }));
    listen('sign-in', () => this.setState({ signIn: true, ready: true }));
    // What a view asked for and nobody there awaits is told all the same.
    addEventListener('unhandledrejection', ({ reason }) => {
      if (reason instanceof Error) this.setState({ problem: reason.message });
    });
    this.open();
  }
  async open() {
    try {
      await learn();
      connect();
    } catch (error) {
      this.setState({ problem: error.message });
    }
  }
  /** After going elsewhere the new view is read from its beginning. */
  focusView() {
    const main = document.getElementById('view');
    if (main) main.focus({ preventScroll: true });
    scrollTo(0, 0);
  }
  nav() {
    const { view, menu } = this.state;
    const item = ([key, title]) => h('li', { class: ['today', 'season', 'needs'].includes(key) ? 'often' : '' },
      h(Link, { to: address(key), 'aria-current': key === view ? 'page' : null }, title));
    return h('nav', { class: menu ? 'open' : '', 'aria-label': 'Views' },
      h('ul', null, views.map(item)),
      h('button', { class: 'menu', 'aria-expanded': String(menu), onClick: () => this.setState({ menu: !menu }) }, menu ? 'Close' : 'More'));
  }
  who() {
    if (state.name) {
      return h('span', { class: 'who' }, state.name, ' ',
        h('button', { class: 'quiet', onClick: () => post('sign-out', {}).then(() => location.reload()) }, 'Sign out'));
    }
    if (state.role === 'look') return h('span', { class: 'who' }, 'Only shown');
    return h('label', { class: 'who' }, h('span', null, 'Your name '),
      h('input', { value: whoNotes(), size: 12, autocomplete: 'name', onInput: (event) => setWhoNotes(event.target.value) }));
  }
  notices() {
    const { reached, behind, problem } = this.state;
    const left = waiting().length;
    const bad = refused();
    return h('div', { class: 'notices' },
      h('div', { role: 'status' },
        !reached && h('p', { class: 'notice' }, 'The network is gone. What you note is kept here.'),
        left > 0 && h('p', { class: 'notice', id: 'waiting' }, `${left} ${left === 1 ? 'entry waits' : 'entries wait'} to be sent.`),
        behind && h('p', { class: 'notice quiet' }, 'The plan is made anew …')),
      problem && h('p', { class: 'alert', role: 'alert' }, problem, ' ',
        h('button', { onClick: () => this.setState({ problem: '' }) }, 'Close')),
      bad.map((one) => h('div', { class: 'alert', role: 'alert' }, 'Not noted: ', h('code', null, one.line), ' ',
        (one.said || []).map((said) => `${said.message} ${said.advice}`).join(' '), ' ',
        h('button', { onClick: () => forget(one.id) }, 'Close'))),
      (state.trouble || []).length > 0 && h('div', { class: 'alert', role: 'alert' },
        'The book cannot be read as it is now; what is shown is from before. ',
        state.trouble.slice(0, 3).map((one) => h('p', null, one.message, ' ', one.advice))),
      state.errors > 0 && h('p', { class: 'alert' }, `The book has ${state.errors} ${state.errors === 1 ? 'mistake' : 'mistakes'}: `,
        (state.said || []).filter((one) => one.severity === 'error').slice(0, 3).map((one) => `${one.message} ${one.place ? `(${one.place.file}, line ${one.place.line}) ` : ''}`)));
  }
  render() {
    const { view, query, ready, signIn } = this.state;
    if (!ready) return h('p', { class: 'wait', role: 'status' }, this.state.problem || 'The book is opened …');
    if (signIn) return h(SignIn, { done: () => this.open() });
    const [, title, View] = views.find(([key]) => key === view);
    document.title = `${title} · ${state.site}`;
    return h('div', { class: 'frame' },
      h('a', { class: 'skip', href: '#view' }, 'To the contents'),
      h('header', { class: 'top' }, h('p', { class: 'site' }, state.site), this.nav(), this.who()),
      this.notices(),
      h('main', { id: 'view', tabindex: -1, class: 'view-' + view }, h(View, { key: view, query })));
  }
}

const root = document.getElementById('app');
root.textContent = '';
render(h(App), root);
