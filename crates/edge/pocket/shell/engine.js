// The engine as a browser starts and asks it. A message is the length of its head, the head as JSON, and the body.
const random = () => [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");

// An engine; from the memory of another where there is one. What a first plan never asks for is a module of its own, the rest; it puts
// itself in the places that are kept for it. Without it, whoever comes to such a place hears that it is missing.
class Missing extends Error {}
const placeholders = new Proxy({}, { get: () => () => { throw new Missing("the rest of the engine is missing"); } });

async function started({ main, rest }, bytes, progress = () => {}) {
  let memory = null, why = "";
  const words = (at, length) => new TextDecoder().decode(new Uint8Array(memory.buffer, at, length));
  const farhop = {
    progress: (at, length, done, total) => progress(words(at, length), done, total),
    stopped: (at, length) => { why = words(at, length); },
  };
  const { exports } = await WebAssembly.instantiate(main, { farhop, placeholder: placeholders });
  if (rest) await WebAssembly.instantiate(rest, { primary: exports });
  memory = exports.memory;
  if (bytes) {
    const more = bytes.byteLength - memory.buffer.byteLength;
    if (more > 0) memory.grow(more / 65536);
    new Uint8Array(memory.buffer).set(new Uint8Array(bytes));
  }
  const guarded = (work) => { try { return work(); } catch (error) { throw error instanceof Missing ? error : new Error(why || error.message); } };
  function given(bytes, work) {
    const at = guarded(() => exports.input(bytes.length));
    new Uint8Array(memory.buffer).set(bytes, at);
    return guarded(work);
  }
  return {
    ask(head, body) {
      const text = new TextEncoder().encode(JSON.stringify({ now_ms: Date.now(), fresh: random(), ...head }));
      const message = new Uint8Array(4 + text.length + body.length);
      new DataView(message.buffer).setUint32(0, text.length, true);
      message.set(text, 4);
      message.set(body, 4 + text.length);
      const length = given(message, () => exports.handle());
      if (length === 0) throw new Error("the engine could not read the question");
      const answer = new Uint8Array(memory.buffer, exports.output(), length).slice();
      const cut = 4 + new DataView(answer.buffer).getUint32(0, true);
      return { told: JSON.parse(new TextDecoder().decode(answer.subarray(4, cut))), body: answer.subarray(cut) };
    },
    // What was made elsewhere, and what was made here.
    take: (bytes) => given(bytes, () => exports.take()),
    made() {
      const length = guarded(() => exports.made());
      return new Uint8Array(memory.buffer, exports.output(), length).slice();
    },
    wanting: () => guarded(() => exports.wanting()),
    share: (index, count) => guarded(() => exports.share(index, count)),
    work: () => guarded(() => exports.work()),
    bring: (month, bytes) => given(bytes, () => exports.bring(month)),
    memory: () => memory.buffer.slice(0),
  };
}

// Asks; what the engine wants for it is brought first: the tables of the months of its outing.
async function answerOf(engine, head, body, fileOf) {
  for (let turn = 0; turn < 3; turn += 1) {
    const answer = engine.ask(head, body);
    if (!answer.told.wanting) return answer;
    for (const month of answer.told.wanting) engine.bring(month, await fileOf(month));
  }
  throw new Error("the tables of the month cannot be read");
}
