/* Starts the real service on a free port, with an owner's token, and stops it again. */
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import net from 'node:net';
import os from 'node:os';
import path from 'node:path';

export const ownerToken = 'a-token-for-the-page-tests-0123456789';

function freePort() {
	return new Promise((resolve, reject) => {
		const server = net.createServer();
		server.on('error', reject);
		server.listen(0, '127.0.0.1', () => {
			const { port } = server.address();
			server.close(() => resolve(port));
		});
	});
}

/* The shipped configuration with an owner's token, in a folder of its own. */
function configWithToken(folder) {
	const config = path.join(folder, 'config');
	const token = path.join(folder, 'token');
	fs.cpSync(process.env.PONDWRIGHT_CONFIG, config, { recursive: true });
	fs.writeFileSync(token, `${ownerToken}\n`, { mode: 0o600 });
	const file = path.join(config, 'service.json');
	const service = JSON.parse(fs.readFileSync(file, 'utf8'));
	fs.writeFileSync(file,
		JSON.stringify({ ...service, owner_token_file: token, colour_light: '#7a1f5c', colour_dark: '#f0b0dd' }));
	return config;
}

async function answers(url, child) {
	for (let i = 0; i < 200; i++) {
		if (child.exitCode !== null)
			throw new Error('the service ended at its start');
		const ready = await fetch(`${url}/readyz`).then((reply) => reply.ok, () => false);
		if (ready)
			return;
		await new Promise((resolve) => setTimeout(resolve, 50));
	}
	throw new Error('the service did not become ready');
}

export async function startService() {
	const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'pondwright-page-'));
	const port = await freePort();
	const child = spawn(process.env.PONDWRIGHT_BIN, ['serve', '--config', configWithToken(folder), '--listen',
		`127.0.0.1:${port}`],
		{ stdio: ['ignore', 'ignore', 'inherit'] });
	const url = `http://127.0.0.1:${port}`;
	await answers(url, child);
	return { url, async stop() {
		const ended = new Promise((resolve) => child.once('exit', resolve));
		child.kill('SIGTERM');
		await ended;
		fs.rmSync(folder, { recursive: true });
	} };
}
