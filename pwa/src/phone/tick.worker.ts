/** A beat a second for a page in the background: a page's own timers are slowed there, a worker's are not. */
export {};

setInterval(() => postMessage(null), 1000);
