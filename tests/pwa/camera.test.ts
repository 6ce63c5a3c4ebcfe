import { afterEach, expect, test, vi } from "vitest";
import { openCamera } from "../../pwa/src/phone/camera.ts";

afterEach(() => vi.unstubAllGlobals());

/** What is said when the browser fails with this. */
function saidOf(error: unknown): Promise<unknown> {
  vi.stubGlobal("Worker", class {});
  vi.stubGlobal("navigator", { mediaDevices: { getUserMedia: () => Promise.reject(error) } });
  return openCamera({} as HTMLVideoElement).catch(String);
}

const NONE =
  "NoCamera: This device has no camera that the browser can use. Plug one in. Or type the code beside the square.";

test.each([
  ["a DOMException", new DOMException("Invalid constraint", "OverconstrainedError")],
  ["WebKit's, which is none", { name: "OverconstrainedError", message: "Invalid constraint" }],
])("a device without a camera is told the same whatever the error is: %s", async (_, error) => {
  expect(await saidOf(error)).toMatch(NONE.replace("NoCamera: ", ""));
});

test.each([null, undefined, "gone"])("what no browser says is told as it is: %s", async (error) => {
  expect(await saidOf(error)).toContain(`The camera cannot be used (${error}). Try again.`);
});
