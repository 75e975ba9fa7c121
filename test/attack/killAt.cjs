// Loaded before the command line: the process kills itself at its COUNTERSUM_KILL-th call of those by which files are
// written, as a power cut does; half of what was being written gets to the disk.
const fs = require('node:fs');

let left = Number(process.env.COUNTERSUM_KILL);
for (const name of ['openSync', 'writeSync', 'fsyncSync', 'renameSync', 'unlinkSync', 'closeSync', 'fchmodSync']) {
  const real = fs[name];
  fs[name] = (...args) => {
    left--;
    if (left === 0) {
      if (name === 'writeSync' && Buffer.isBuffer(args[1])) real(args[0], args[1].subarray(0, args[1].length >> 1));
      process.kill(process.pid, 'SIGKILL');
    }
    return real(...args);
  };
}
