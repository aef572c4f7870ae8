import { h, Component } from './ui.js';
import { post } from './server.js';

/** Who is it? */
export class SignIn extends Component {
  async send(event) {
    event.preventDefault();
    const form = new FormData(event.target);
    try {
      await post('sign-in', { name: form.get('name'), password: form.get('password') });
      this.props.done();
    } catch (error) {
      const wait = error.body && error.body.wait;
      this.setState({ problem: error.message + (wait ? ` (${wait} s)` : '') });
    }
  }
  render({}, { problem }) {
    return h('main', { class: 'sign-in' }, h('h1', null, 'Sign in'),
      h('form', { onSubmit: (event) => this.send(event) },
        h('label', { class: 'field' }, h('span', null, 'Name'), h('input', { name: 'name', autocomplete: 'username', required: true })),
        h('label', { class: 'field' }, h('span', null, 'Password'),
          h('input', { name: 'password', type: 'password', autocomplete: 'current-password', required: true })),
        problem && h('p', { class: 'alert', role: 'alert' }, problem),
        h('button', { class: 'main' }, 'Sign in')));
  }
}
