// Runs a TypeScript file of this folder on Node through Vite, which is here anyway.
import { resolve } from 'node:path';
import { runnerImport } from 'vite';

await runnerImport(resolve(process.argv[2]), { configFile: false, logLevel: 'error' });
