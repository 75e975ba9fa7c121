// Mocha's dots, and the counts in a file for `npm test` to add up.
const { writeFileSync } = require('node:fs');
const { reporters, Runner } = require('mocha');

module.exports = class Counting extends reporters.Dot {
  constructor(runner, options) {
    super(runner, options);
    runner.once(Runner.constants.EVENT_RUN_END, () => {
      // A test that was skipped has shown nothing, so it does not count as passed.
      const { passes, failures, pending } = this.stats;
      writeFileSync(options.reporterOptions.file, JSON.stringify({ passed: passes, failed: failures + pending }));
    });
  }
};
