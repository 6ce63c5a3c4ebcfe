/** The composition root: registers the service worker and shows the page. */
import { render } from "preact";

render(<h1>Benchbell</h1>, document.body);
if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/worker.js").catch((error: unknown) => console.error(error));
}
