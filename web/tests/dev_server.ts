// `npm run dev`: the page with Vite's quick reload, its calls answered by a running program (BOXFETTLE_URL, else ./run's).
import { createServer } from 'vite';

const program = process.env.BOXFETTLE_URL ?? 'http://127.0.0.1:8480';
const vite = await createServer({ server: { proxy: { '/api': program } } });
await vite.listen();
vite.printUrls();
console.log(`Calls go to ${program}`);
