/** A connection to the phone's store that is opened again when the browser has ended it. */

/** What reopening needs to know of a connection. */
type Connection = { readonly close: () => void };

/** How a browser says that a connection has ended; WebKit says the second when its storage process went away. */
const ENDED = new Set(["InvalidStateError", "UnknownError"]);

/**
 * The connection, always the latest one, under one name for as long as the page is open.
 *
 * connect: opens one; its argument is to be called when that one ends unasked. onReopened: called after it was opened
 * again. What is asked meanwhile fails, and is tried again by whoever asked.
 */
export async function reopening<C extends Connection>(
  connect: (onEnd: () => void) => Promise<C>,
  onReopened: () => void,
): Promise<C> {
  let isOver = false;
  let isComing = false;
  const reopen = async () => {
    if (isOver || isComing) return;
    isComing = true;
    try {
      current = await connect(onEnd);
      if (isOver) current.close();
      else onReopened();
    } catch (error) {
      console.error(error); // the next that finds it ended tries again
    } finally {
      isComing = false;
    }
  };
  const onEnd = () => void reopen();
  const look = (error: unknown) => {
    if (error instanceof DOMException && ENDED.has(error.name)) onEnd();
  };
  let current = await connect(onEnd);
  const close = () => {
    isOver = true;
    current.close();
  };
  return new Proxy({} as C, {
    has: (own, key) => key in own || key in current,
    get(own, key) {
      if (key === "close") return close;
      const value = Reflect.get(key in own ? own : current, key);
      return typeof value === "function" ? watched(value.bind(current), look) : value;
    },
  });
}

/** The same function, with whatever it throws or rejects with shown to `look` too. */
function watched(work: (...given: unknown[]) => unknown, look: (error: unknown) => void) {
  return (...given: unknown[]) => {
    try {
      const answer = work(...given);
      if (answer instanceof Promise) answer.catch(look);
      return answer;
    } catch (error) {
      look(error);
      throw error;
    }
  };
}
