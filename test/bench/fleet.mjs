// A retrofit over many cars on the command line: 500 cars of three modules each, the whole process.
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

const DEMO = 'examples/trailer-socket';
const RETROFIT = 'trailer-socket.retrofit.json';
const MODULES = [
  ['rear-body', 'rear-body'],
  ['cluster', 'cluster'],
  // A module that no condition mentions.
  ['gate', 'rear-body'],
];

export function benchFleet(rows, cars = 500) {
  for (const flat of [false, true]) {
    const folder = mkdtempSync(join(tmpdir(), 'countersum-fleet-'));
    try {
      makeFleet(folder, cars, flat);
      const begun = performance.now();
      const { status, stdout, stderr } = spawnSync(
        'bash',
        ['-c', 'time "$@"', 'bash', process.execPath, resolve('dist/cli.js'), 'plan', RETROFIT, 'cars', '--json'],
        { cwd: folder, encoding: 'utf8', maxBuffer: 1 << 28, env: { ...process.env, LC_ALL: 'C' } },
      );
      const ms = performance.now() - begun;
      if (status !== 0) throw new Error(stderr);
      const cpu = [...stderr.matchAll(/^(?:user|sys)\s+(\d+)m([\d.]+)s$/gm)].reduce(
        (sum, [, minutes, seconds]) => sum + Number(minutes) * 60 + Number(seconds),
        0,
      );
      rows.push({
        cars: JSON.parse(stdout).cars.length,
        'in one folder': flat,
        'ms (wanted: 3000)': ms,
        'CPU ms': cpu * 1000,
      });
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  }
}

/** A fleet as found, in a folder for each car or all in one. */
function makeFleet(folder, cars, flat) {
  for (const name of ['rear-body.dump-profile.json', 'cluster.dump-profile.json'])
    cpSync(join(DEMO, name), join(folder, name));
  const body = readFileSync(join(DEMO, 'rear-body.dump-profile.json'), 'utf8');
  writeFileSync(join(folder, 'gate.dump-profile.json'), body);
  const retrofit = JSON.parse(readFileSync(join(DEMO, RETROFIT), 'utf8'));
  const [first] = retrofit.changes;
  retrofit.changes.push({ ...first, profile: 'gate.dump-profile.json' });
  writeFileSync(join(folder, RETROFIT), JSON.stringify(retrofit));
  for (let car = 0; car < cars; car++) {
    const number = String(car).padStart(6, '0');
    const place = flat ? join(folder, 'cars') : join(folder, 'cars', number);
    mkdirSync(place, { recursive: true });
    for (const [module, like] of MODULES) {
      const name = flat ? `${number}.${module}` : module;
      const found = readFileSync(join(DEMO, `${like}.as-found.cfgdump`), 'utf8')
        .replace(/^@seal.*\n/m, '')
        .replace(/^@vin.*/m, `@vin 0DEM0T4X5TA${number}`)
        .replace(/^@vehicle.*/m, `@vehicle stock no. ${number}`)
        .replace(/^@profile .*/m, `@profile ${flat ? '..' : '../..'}/${module}.dump-profile.json`);
      writeFileSync(join(place, `${name}.as-found.cfgdump`), found);
      writeFileSync(join(place, `${name}.cfgdump`), found.replace(/^@taken.*/m, `@backup ${name}.as-found.cfgdump`));
    }
  }
}
