/**
 * The service worker: the app's own files are kept when it is installed, the demo set when it is used, so that all
 * works without a network. A new version waits until the person begins it or all windows have been closed.
 */
import { cleanupOutdatedCaches, createHandlerBoundToURL, precacheAndRoute } from 'workbox-precaching';
import { NavigationRoute, registerRoute } from 'workbox-routing';
import { demoHandler, isDemo } from './demo-cache.ts';
import { COUNT_WINDOWS, SKIP_WAITING } from './messages.ts';

declare const self: ServiceWorkerGlobalScope;
/** Put in by the build: every file of the app with its revision, null where its name holds one. */
declare const PRECACHE: { url: string; revision: string | null }[];

cleanupOutdatedCaches();
precacheAndRoute(PRECACHE);
registerRoute(new NavigationRoute(createHandlerBoundToURL('index.html')));
registerRoute(isDemo, demoHandler);

// The first version serves the windows that are open already; a later one takes over only those that asked for it.
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()));

self.addEventListener('message', (event) => {
  const { type } = (event.data ?? {}) as { type?: string };
  if (type === SKIP_WAITING) event.waitUntil(self.skipWaiting());
  if (type === COUNT_WINDOWS) {
    event.waitUntil(
      self.clients
        .matchAll({ type: 'window', includeUncontrolled: true })
        .then((windows) => event.ports[0]?.postMessage(windows.length)),
    );
  }
});
