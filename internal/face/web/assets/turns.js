// A page's requests one after another: each begins from what the last one gave
// back.

// What a request returns that has to be made again: the text was changed while
// its answer was under way.
export const again = Symbol("again");

// inTurn returns a function that asks for something. request is called with it
// when its turn has come; failed with the error when nobody answers, and then
// nothing more is asked; settled when nothing waits any longer.
export function inTurn(request, failed, settled) {
  const waiting = [];
  let busy = false;

  async function work() {
    busy = true;
    while (waiting.length > 0) {
      const what = waiting.shift();
      try {
        if ((await request(what)) === again) waiting.unshift(what);
      } catch (error) {
        failed(error);
        waiting.length = 0;
      }
    }
    busy = false;
    settled();
  }

  return function ask(what) {
    if (what === "read" && waiting.includes("read")) return;
    waiting.push(what);
    if (!busy) work();
  };
}
