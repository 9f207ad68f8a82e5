/**
 * The demo set in the service worker: the network first, because a new rendering keeps the names of its files; what
 * was used is kept for times without one. A player asks for pieces (RFC 9110, 14.2 "Range"), which a cache does not
 * take, so the whole file is fetched beside them once.
 */
import { createPartialResponse } from 'workbox-range-requests';
import type { RouteHandlerCallback, RouteMatchCallback } from 'workbox-core/types.js';

const CACHE = 'boothproof-demo';
const FOLDER = 'demo/';

/** Being fetched whole. */
const fetching = new Set<string>();

export const isDemo: RouteMatchCallback = ({ url, sameOrigin, request }) =>
  sameOrigin && request.method === 'GET' && url.pathname.startsWith(new URL(FOLDER, location.href).pathname);

/** What tells one rendering of a file from another. */
const versionOf = ({ headers }: Response) => headers.get('etag') ?? headers.get('last-modified') ?? '';

export const demoHandler: RouteHandlerCallback = async ({ request, event }) => {
  const cache = await caches.open(CACHE);
  let response: Response;
  try {
    response = await fetch(request);
  } catch (error) {
    const kept = await cache.match(request.url);
    if (!kept) throw error;
    return request.headers.has('range') ? createPartialResponse(request, kept) : kept;
  }
  if (response.status === 200 && !redirectsToPage(response)) {
    event.waitUntil(cache.put(request.url, response.clone()).catch(noRoom));
  } else if (response.status === 206) {
    event.waitUntil(keepWhole(cache, request.url, versionOf(response)).catch(noRoom));
  }
  return response;
};

/** Some servers answer a missing file with the page itself. */
const redirectsToPage = (response: Response) =>
  response.headers.get('content-type')?.startsWith('text/html') ?? false;

async function keepWhole(cache: Cache, url: string, version: string): Promise<void> {
  if (fetching.has(url)) return;
  const kept = await cache.match(url);
  if (kept && versionOf(kept) === version) return;
  fetching.add(url);
  try {
    const whole = await fetch(url);
    if (whole.status === 200) await cache.put(url, whole);
  } finally {
    fetching.delete(url);
  }
}

/** The disk is full, or the network went away in between: the demo then plays with a network only. */
const noRoom = () => undefined;
