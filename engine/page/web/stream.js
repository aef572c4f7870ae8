/**
 * What the server tells by itself. A browser has few connections to one server, for all of its windows
 * together: so they share one stream, through a worker that runs this same file. Where browsers have no
 * such workers, on phones, each window has a stream of its own as long as it is looked at.
 *
 * Told are: "reached" (whether the server answers), "turn" (of the plan that there is), "missed" (something
 * may have been told that was not heard), "behind", "planned", "cells" (with their data).
 */

const again = 10000;  // milliseconds until a server is asked again that has refused

/** The stream itself. `tell(name, data)` hears it. */
class Stream {
  constructor(tell) {
    this.tell = tell;
    this.lost = false;
  }
  open() {
    if (this.source && this.source.readyState !== EventSource.CLOSED) {
      if (this.source.readyState === EventSource.OPEN) {
        this.tell('reached', true);
        this.tell('turn', this.turn);
      }
      return;
    }
    clearTimeout(this.timer);
    this.source = new EventSource('/api/events');
    this.source.onopen = () => {
      this.tell('reached', true);
      if (this.lost) this.tell('missed', null);
      this.lost = false;
    };
    this.source.onerror = () => this.failed();
    for (const name of ['hello', 'behind', 'planned', 'cells']) {
      this.source.addEventListener(name, (event) => this.heard(name, JSON.parse(event.data)));
    }
  }
  heard(name, data) {
    this.turn = data.turn || this.turn;
    if (name === 'hello') this.tell('turn', this.turn);
    else this.tell(name, data);
  }
  failed() {
    this.lost = true;
    if (this.source.readyState !== EventSource.CLOSED) return this.tell('reached', false);
    // The server is there and refuses: too many windows, or somebody has to sign in. Windows ask by themselves.
    this.tell('missed', null);
    this.timer = setTimeout(() => this.open(), again);
  }
  close() {
    clearTimeout(this.timer);
    if (this.source) this.source.close();
    this.lost = true;
  }
}

/** A window's own stream: nobody looks at what is hidden. */
class OwnStream extends Stream {
  constructor(tell) {
    super(tell);
    document.addEventListener('visibilitychange', () => (document.hidden ? this.close() : this.open()));
  }
}

/** The stream of all windows. */
class SharedStream {
  constructor(tell) {
    this.worker = new SharedWorker('/web/stream.js', { type: 'module' });
    this.worker.port.onmessage = ({ data: [name, data] }) => tell(name, data);
    this.worker.onerror = () => {
      this.own = this.own || new OwnStream(tell);
      this.own.open();
    };
  }
  open() { if (this.own) this.own.open(); else this.worker.port.postMessage('open'); }
  close() { if (this.own) this.own.close(); else this.worker.port.postMessage('close'); }
}

/** Opens the stream; a window that is left, or comes back, is seen to. */
export function openStream(tell) {
  const stream = typeof SharedWorker === 'undefined' ? new OwnStream(tell) : new SharedStream(tell);
  stream.open();
  addEventListener('pagehide', () => stream.close());
  addEventListener('pageshow', (event) => {
    if (!event.persisted) return;
    stream.open();
    tell('missed', null);
  });
  return stream;
}

// In the worker: every window has a port, and the stream goes on as long as there is one.
if (typeof SharedWorkerGlobalScope !== 'undefined') {
  const ports = new Set();
  const stream = new Stream((name, data) => ports.forEach((port) => port.postMessage([name, data])));
  onconnect = ({ ports: [port] }) => {
    port.onmessage = ({ data }) => {
      if (data === 'open') {
        // Whoever comes first has just asked for all there is.
        if (ports.size === 0) stream.lost = false;
        ports.add(port);
        stream.open();
      } else {
        ports.delete(port);
        if (ports.size === 0) stream.close();
      }
    };
  };
}
