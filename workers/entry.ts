/** The analysis worker: hands messages to the desk and its replies back to the page. */
import { Desk } from './desk.ts';
import type { WorkerRequest } from './protocol.ts';

const desk = new Desk((reply, transfer) => self.postMessage(reply, { transfer }));

self.onmessage = ({ data }: MessageEvent<WorkerRequest>) => {
  void desk.handle(data);
};
