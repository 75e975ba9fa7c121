// Runs inside the extension host of the editor: times what activating the extension costs there.
const { writeFileSync } = require('node:fs');
const { join } = require('node:path');
const vscode = require('vscode');

exports.run = async () => {
  const extension = vscode.extensions.getExtension('countersum.countersum');
  if (extension.isActive) throw new Error('The extension is active already.');
  const loading = performance.now();
  require(join(extension.extensionPath, 'dist/client.js'));
  const loaded = performance.now();
  const client = await extension.activate();
  const active = performance.now();
  await client.start();
  const figures = {
    'load the client': loaded - loading,
    'activate it': active - loaded,
    activation: active - loading,
    'until the server answers': performance.now() - loading,
  };
  writeFileSync(join(__dirname, '../../out/activation.json'), JSON.stringify(figures));
};
