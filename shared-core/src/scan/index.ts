// What client, server and command line use of this room: memory images of any size.
export { type ImageBytesView, readImageBytes } from './imageView.js';
