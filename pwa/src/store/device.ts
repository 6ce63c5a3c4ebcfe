/** This phone's own name: made up until a server gives it one. */
import { openDatabase, putMeta, write } from "./database.ts";

/** What is recorded from now on goes under the name that the server gave, so that it can tell who it was. */
export async function becomeDevice(device: string, name = "benchbell"): Promise<void> {
  const db = await openDatabase(name, () => {});
  await write(db, "strict", (tx) => putMeta(tx, { device }));
  db.close();
}
