// One of mocha's reporters, and the counts and failures in a file for `npm test` to add up and to repeat at its end.
const { writeFileSync } = require('node:fs');
const { reporters, Runner } = require('mocha');

module.exports = class Counting {
  constructor(runner, options) {
    const { file, shown = 'Dot' } = options.reporterOptions;
    const { stats, failures } = new reporters[shown](runner, options);
    runner.once(Runner.constants.EVENT_RUN_END, () => {
      // A test that was skipped has shown nothing, so it does not count as passed.
      const failed = stats.failures + stats.pending;
      const reasons = failures.map((test) => `${test.fullTitle()}\n${test.err.message}`);
      writeFileSync(file, JSON.stringify({ passed: stats.passes, failed, reasons }));
    });
  }
};
