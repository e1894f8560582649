/* Talks to the service. Of each kind of request the newest alone counts; one that fails is tried again, and whoever
 * waits is told. */
const pauses_ms = [1000, 2000, 4000, 8000];
const patience_ms = 20000;
const running = new Map();

export class Superseded extends Error {}
export class GaveUp extends Error {}

function sleep(milliseconds, signal, wake) {
	return new Promise((resolve, reject) => {
		const timer = setTimeout(resolve, milliseconds);
		wake(() => {
			clearTimeout(timer);
			resolve();
		});
		signal.addEventListener('abort', () => {
			clearTimeout(timer);
			reject(new Superseded());
		}, { once: true });
	});
}

function mayPass(status) {
	return status >= 500 || status === 429 || status === 408;
}

/* The reply, or null where trying again may help. */
async function attempt(path, options, signal) {
	try {
		const reply = await fetch(path, { ...options, signal: AbortSignal.any([signal, AbortSignal.timeout(patience_ms)]) });
		if (mayPass(reply.status))
			return null;
		return { status: reply.status, body: await reply.json().catch(() => null) };
	} catch {
		if (signal.aborted)
			throw new Superseded();
		return null;
	}
}

/* Resolves with {status, body}. Rejects with Superseded when a newer request of the same kind took over, or with
 * GaveUp. waiting(seconds, tryNow) is called before each further try. */
async function ask(kind, path, options, waiting) {
	running.get(kind)?.abort();
	const own = new AbortController();
	running.set(kind, own);
	for (const pause_ms of [...pauses_ms, null]) {
		const reply = await attempt(path, options, own.signal);
		if (own.signal.aborted)
			throw new Superseded();
		if (reply)
			return reply;
		if (pause_ms === null)
			throw new GaveUp();
		await sleep(pause_ms, own.signal, (tryNow) => waiting?.(pause_ms / 1000, tryNow));
	}
	throw new GaveUp();
}

export function read(path, waiting) {
	return ask(path, path, { headers: { accept: 'application/json' } }, waiting);
}

export function post(path, body, token, waiting) {
	const headers = { 'content-type': 'application/json', accept: 'application/json' };
	if (token)
		headers.authorization = `Bearer ${token}`;
	return ask(path, path, { method: 'POST', headers, body: JSON.stringify(body) }, waiting);
}

/* What is under way is no longer wanted. */
export function drop(path) {
	running.get(path)?.abort();
}
