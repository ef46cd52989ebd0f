// `npm run dev`: the page with Vite's quick reload, its calls answered by the mock.
import { createServer } from 'vite';
import { startMock } from './mock_server';

const mock = await startMock({ pages: 'dist' });
const vite = await createServer({ server: { proxy: { '/api': mock.url } } });
await vite.listen();
vite.printUrls();
console.log(`Sign in as ${mock.name}, passphrase: ${mock.passphrase}`);
