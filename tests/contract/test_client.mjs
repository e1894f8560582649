/* Types generated from the document, a client compiled against them in strict mode, and a quote through it. */
import openapiTypescript, { astToString } from 'openapi-typescript';
import assert from 'node:assert/strict';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import test, { after, before } from 'node:test';
import { fileURLToPath, pathToFileURL } from 'node:url';
import ts from 'typescript';
import { startService } from '../page/service.mjs';

let service, folder;

before(async () => {
	service = await startService();
	folder = fs.mkdtempSync(path.join(os.tmpdir(), 'pondwright-contract-'));
	const document = await fetch(`${service.url}/openapi.json`).then((reply) => reply.json());
	/* a member with a default may be left out of a request all the same */
	const types = await openapiTypescript(document, { defaultNonNullable: false });
	fs.writeFileSync(path.join(folder, 'api.ts'), astToString(types));
	fs.copyFileSync(fileURLToPath(new URL('client.ts', import.meta.url)), path.join(folder, 'client.ts'));
	fs.writeFileSync(path.join(folder, 'package.json'), '{"type":"module"}');
});
after(async () => {
	await service.stop();
	fs.rmSync(folder, { recursive: true });
});

const options = {
	strict: true, target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ES2022, moduleResolution: ts.ModuleResolutionKind.Bundler,
	lib: ['lib.es2022.d.ts', 'lib.dom.d.ts'], types: [],
};

function compile(name) {
	const program = ts.createProgram([path.join(folder, name)], options);
	return [...ts.getPreEmitDiagnostics(program), ...program.emit().diagnostics]
		.map((diagnostic) => ts.flattenDiagnosticMessageText(diagnostic.messageText, '\n'));
}

test('a client compiles and gets a quote', async () => {
	assert.deepEqual(compile('client.ts'), []);
	const client = await import(pathToFileURL(path.join(folder, 'client.js')));
	const small = await client.grossOfRoundPond(service.url, 'demo-north', 3);
	const large = await client.grossOfRoundPond(service.url, 'demo-north', 6);
	assert.ok(Number.isInteger(small) && small > 0 && large > small);
	await assert.rejects(client.grossOfRoundPond(service.url, 'demo-north', -3), /diameter_m/);
});

test('a slip in a name does not compile', () => {
	const source = fs.readFileSync(path.join(folder, 'client.ts'), 'utf8').replace('depth_m: 1.1', 'depht_m: 1.1');
	fs.writeFileSync(path.join(folder, 'slip.ts'), source);
	assert.match(compile('slip.ts').join('\n'), /depht_m/);
});
