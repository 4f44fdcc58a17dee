// Applies what one message says of many widgets, all at once, so that the page is drawn once.

const REPEAT_MS = 1500; // what is said while the page is still starting may not be heard
const MOST_REPEATS = 20;

function withBuffers({ state, buffer_paths }, buffers) {
  buffer_paths.forEach((path, index) => {
    const inside = path.slice(0, -1).reduce((value, key) => value[key], state);
    inside[path[path.length - 1]] = buffers[index];
  });
  return state;
}

function initialize({ model }) {
  const manager = model.widget_manager;
  let heard = false;
  let order = Promise.resolve();

  async function unpacked(widget, state) {
    const forms = widget.constructor.serializers ?? {};
    const entries = Object.entries(state).map(async ([name, value]) => {
      const read = forms[name]?.deserialize;
      return [name, read ? await read(value, manager) : value];
    });
    return Object.fromEntries(await Promise.all(entries));
  }

  async function apply(updates, buffers) {
    let taken = 0;
    const changes = updates.map(async (update) => {
      const from = taken;
      taken += update.buffer_paths.length;
      const state = withBuffers(update, buffers.slice(from, taken));
      const widget = await manager.get_model(update.model);
      return [widget, await unpacked(widget, state)];
    });
    for (const [widget, state] of await Promise.all(changes)) widget.set_state(state);
  }

  // The library waits two seconds for a widget's script and takes in nothing after that: here a change of
  // state is taken in at once, and what the script itself is to hear when the library has given up waiting.
  async function listen(id) {
    const widget = await manager.get_model(id);
    const takeIn = Object.getPrototypeOf(widget.constructor.prototype)._handle_comm_msg;
    widget.comm?.on_msg((message) =>
      message.content.data.method === "custom"
        ? widget._handle_comm_msg(message).catch(() => takeIn.call(widget, message))
        : takeIn.call(widget, message),
    );
  }

  function told(message, buffers) {
    if (message.answer) model.send({ heard: true });
    heard ||= message.answer;
    order = order.then(() => apply(message.updates ?? [], buffers)).catch(console.error);
  }

  function greet(left) {
    if (heard || left === 0) return;
    model.send({ heard: false });
    setTimeout(() => greet(left - 1), REPEAT_MS);
  }

  model.on("msg:custom", told);
  Promise.all(model.get("scripted").map(listen)).then(() => greet(MOST_REPEATS), console.error);
  return () => {
    heard = true;
  };
}

export default { initialize };
