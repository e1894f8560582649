/* Every refusal that the document promises of every path is drawn by bytes on a socket, and comes as described. */
import assert from 'node:assert/strict';
import net from 'node:net';
import test, { after, before } from 'node:test';
import { startService } from '../page/service.mjs';
import { faultsOf, readDocuments } from './documents.mjs';

const origin = 'https://www.example.test';
const json = 'Content-Type: application/json\r\n';
let service, documents, operations;

before(async () => {
	service = await startService();
	documents = await readDocuments(service.url);
	operations = Object.entries(documents.openapi.paths).flatMap(([route, item]) =>
		['get', 'post'].filter((word) => item[word]).map((word) => ({
			route, path: route.replace('{id}', 'demo-north'), method: word.toUpperCase(), responses: item[word].responses,
		})));
});
after(() => service.stop());

/* Sends the text and takes what comes until the other side closes. */
function speak(text) {
	return new Promise((resolve, reject) => {
		const parts = [];
		const socket = net.connect(Number(new URL(service.url).port), '127.0.0.1', () => socket.write(text));
		socket.setTimeout(60000, () => socket.destroy(new Error(`no end to the answer to ${text.slice(0, 200)}`)));
		socket.on('data', (part) => parts.push(part));
		socket.on('error', reject);
		socket.on('end', () => {
			const answer = Buffer.concat(parts).toString('latin1'), blank = answer.indexOf('\r\n\r\n');
			const [line, ...lines] = answer.slice(0, blank).split('\r\n');
			const headers = {};
			for (const header of lines) {
				const colon = header.indexOf(':'), name = header.slice(0, colon).toLowerCase();
				assert.ok(!(name in headers), `a header twice: ${answer.slice(0, blank)}`);
				headers[name] = header.slice(colon + 2);
			}
			resolve({ status: Number(line.split(' ')[1]), headers, body: answer.slice(blank + 4) });
		});
	});
}

/* A request whose connection ends with its answer. */
function request(method, path, headers = '', body = '') {
	const silent = method !== 'POST' || /Content-Length|Transfer-Encoding/i.test(headers);
	const length = silent ? '' : `Content-Length: ${body.length}\r\n`;
	return `${method} ${path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\nOrigin: ${origin}\r\n${headers}${length}\r\n${body}`;
}

/* How each status is drawn: one text or several. What has no row here is not for a client to draw. */
const drawn = {
	400: ({ method, path }) => [
		request(method, path, 'Host: y\r\n'),
		request(method, path, 'X y: z\r\n'),
		request(method, path, 'Content-Length: 2\r\nTransfer-Encoding: chunked\r\n'),
		request(method, path, 'Transfer-Encoding: gzip\r\n'),
		request(method, path, 'Content-Length: 2\r\nContent-Length: 2\r\n', '{}'),
		...['{', '', '[]'].filter(() => method === 'POST').map((body) => request(method, path, json, body)),
	],
	401: ({ method, path }) => [request(method, path, `${json}Authorization: Bearer not-the-token\r\n`, '{}')],
	404: ({ method }) => [request(method, '/v1/regions/nowhere')],
	405: ({ method, path }) => [method === 'POST' ? 'GET' : 'POST', 'PUT', 'DELETE', 'PATCH', 'TRACE', 'CONNECT', 'brew']
		.map((other) => request(other, path, 'Content-Length: 0\r\n')),
	406: ({ method, path }) => ['image/png', 'application/json;q=0, text/calendar;q=0, text/csv;q=0', 'text/x-none', '*/*;q=0']
		.map((type) => request(method, path, `${json}Accept: ${type}\r\n`, method === 'POST' ? '{}' : '')),
	411: ({ method, path }) => [
		request(method, path, `${json}Transfer-Encoding: chunked\r\n`, '2\r\n{}\r\n0\r\n\r\n'),
		...method === 'POST' ? [`POST ${path} HTTP/1.1\r\nHost: x\r\nOrigin: ${origin}\r\n${json}\r\n`] : [],
	],
	/* none of these bodies is ever sent */
	413: ({ method, path }) => [
		request(method, path, `${json}Content-Length: 1048577\r\n`),
		request(method, path, `${json}Content-Length: 18446744073709551615\r\n`),
		...method === 'POST' ? [request(method, path, `${json}Expect: 100-continue\r\nContent-Length: 65537\r\n`)] : [],
	],
	414: ({ method, path }) => [request(method, `${path}?${'q'.repeat(1025)}`)],
	415: ({ method, path }) => [
		request(method, path, '', '{}'),
		request(method, path, 'Content-Type: text/plain\r\n', '{}'),
		request(method, path, 'Content-Type: application/json, text/plain\r\n', '{}'),
		request(method, path, `${json}Content-Encoding: gzip\r\n`, '{}'),
	],
	417: ({ method, path }) => [request(method, path, `${json}Expect: tea\r\n`, method === 'POST' ? '{}' : '')],
	422: ({ method, path }) => [request(method, path, json, '{}'), request(method, path, json, '{"a":1}')],
	431: ({ method, path }) => [
		request(method, path, `X: ${'a'.repeat(17000)}\r\n`),
		request(method, path, 'X: y\r\n'.repeat(101)),
	],
};
const notDrawn = ['200', '304', '429', '500', '503'];

function isReadAbroad({ route }) {
	return route.startsWith('/v1/') || route === '/openapi.json';
}

function assertRefused(answer, status, operation, text) {
	const what = `${operation.method} ${operation.route}: ${text.slice(0, 300)}\n${JSON.stringify(answer)}`;
	assert.equal(answer.status, Number(status), what);
	assert.equal(answer.headers['content-type'], 'application/problem+json', what);
	assert.equal(answer.headers['cache-control'], 'no-store', what);
	assert.equal(answer.headers['x-content-type-options'], 'nosniff', what);
	assert.equal(answer.headers.server, undefined, what);
	assert.equal(answer.headers['access-control-allow-origin'], isReadAbroad(operation) ? origin : undefined, what);
	assert.equal(/\bOrigin\b/.test(answer.headers.vary ?? ''), isReadAbroad(operation), what);
	const name = operation.responses[status].$ref.split('/').pop();
	for (const header of Object.keys(documents.openapi.components.responses[name].headers))
		assert.ok(answer.headers[header.toLowerCase()], `no ${header}: ${what}`);
	const problem = JSON.parse(answer.body), closed = documents.closedValidator('Problem');
	assert.ok(closed(problem), `${faultsOf(closed)} ${what}`);
	assert.equal(problem.status, answer.status, what);
	assert.equal(problem.instance, answer.headers['x-request-id'], what);
	const examples = documents.openapi.components.responses[name].content['application/problem+json'].examples;
	if (status !== '422')
		assert.ok(problem.errors.every(({ code }) => examples[code]), `a code without an example: ${what}`);
}

test('every status of every operation is drawn, and is a problem of its own code', async () => {
	let count = 0;
	for (const operation of operations) {
		for (const status of Object.keys(operation.responses).filter((word) => !notDrawn.includes(word))) {
			assert.ok(drawn[status], `nothing draws ${status} of ${operation.route}`);
			for (const text of drawn[status](operation)) {
				const answer = await speak(text);
				assertRefused(answer, status, operation, text);
				if (status === '405')
					assert.equal(answer.headers.allow, operation.method === 'POST' ? 'POST, OPTIONS' : 'GET, HEAD, OPTIONS');
				count++;
			}
		}
	}
	process.stdout.write(`# ${count} refusals of ${operations.length} operations\n`);
	assert.ok(count > 200);
});

test('a status that is not described is not given', async () => {
	const described = Object.fromEntries(operations.map(({ route, responses }) => [route, Object.keys(responses)]));
	for (const operation of operations)
		for (const [status, draw] of Object.entries(drawn))
			for (const text of draw(operation).filter(() => status !== '404' && status !== '405')) {
				const answer = await speak(text);
				assert.ok(described[operation.route].includes(String(answer.status)),
					`${answer.status} from ${operation.route}: ${text.slice(0, 200)}`);
			}
});

test('what is held is not sent again, in every form of asking', async () => {
	for (const operation of operations.filter(({ responses }) => responses[304])) {
		const { headers: { etag } } = await speak(request('GET', operation.path));
		for (const form of [etag, `W/${etag}`, `"a", W/"b",${etag}`, `, ,${etag}`, `"a,b", ${etag}`, '*']) {
			const answer = await speak(request('GET', operation.path, `If-None-Match: ${form}\r\n`));
			assert.equal(answer.status, 304, `${operation.route} ${form}`);
			assert.equal(answer.body, '');
			assert.equal(answer.headers.etag, etag);
		}
		for (const form of ['"a"', etag.slice(0, -1), etag.slice(1), 'a', '"', `w/${etag}`]) {
			const answer = await speak(request('GET', operation.path, `If-None-Match: ${form}\r\n`));
			assert.equal(answer.status, 200, `${operation.route} ${form}`);
		}
	}
});

/* The last, for it uses up the failures that are allowed. */
test('too many wrong tokens are told to wait, on every operation that takes one', async () => {
	for (const operation of operations.filter(({ responses }) => responses[401])) {
		let answer;
		for (let i = 0; i < 1000 && answer?.status !== 429; i++)
			answer = await speak(request(operation.method, operation.path, `${json}Authorization: Bearer wrong\r\n`, '{}'));
		assertRefused(answer, '429', operation, 'a wrong token');
	}
});
