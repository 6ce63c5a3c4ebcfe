/** The addresses of places in the page, as live.ts reads them. */

export const buildPath = (build: string) => `/b/${build}`;
export const logPath = (build: string) => `/b/${build}/log`;
export const printPath = (build: string, only = "") =>
  `/b/${build}/print${only && `?only=${encodeURIComponent(only)}`}`;
export const operationPath = (build: string, id: string) => `/b/${build}/o/${encodeURIComponent(id)}`;
export const partPath = (build: string, id: string) => `/b/${build}/p/${encodeURIComponent(id)}`;
export const recipePath = (name: string) => `/recipes/${encodeURIComponent(name)}`;
