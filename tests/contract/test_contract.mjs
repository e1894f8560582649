/* The documents are valid, tell the truth about the service, and are enough to write a client from. */
import SwaggerParser from '@apidevtools/swagger-parser';
import { Validator } from '@seriousme/openapi-schema-validator';
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import test, { after, before } from 'node:test';
import { ownerToken, startService } from '../page/service.mjs';
import { faultsOf, readDocuments } from './documents.mjs';
import { breakOne, enquiryOf, randomFrom } from './generate.mjs';

const rounds = 2000;
let service, documents;

before(async () => {
	service = await startService();
	documents = await readDocuments(service.url);
});
after(() => service.stop());

function fixtures() {
	const folder = process.env.PONDWRIGHT_FIXTURES;
	return fs.readdirSync(folder)
		.map((name) => ({ name, file: path.join(folder, name, 'enquiry.json') }))
		.filter(({ file }) => fs.existsSync(file))
		.map(({ name, file }) => ({ name, enquiry: JSON.parse(fs.readFileSync(file, 'utf8')) }));
}

async function post(route, body, headers = {}) {
	const reply = await fetch(service.url + route, {
		method: 'POST',
		headers: { 'content-type': 'application/json', ...headers },
		body: typeof body === 'string' ? body : JSON.stringify(body),
	});
	return { status: reply.status, headers: reply.headers, body: await reply.json() };
}

function nameOf(reference) {
	return reference.$ref.split('/').pop();
}

/* The routes that take a body, with the names of its schema and of the answer's. */
function questions() {
	return Object.entries(documents.openapi.paths).filter(([, item]) => item.post).map(([route, { post: operation }]) => ({
		route,
		body: nameOf(operation.requestBody.content['application/json'].schema),
		answer: nameOf(operation.responses[200].content['application/json'].schema),
	}));
}

function bodyFor(question, enquiry) {
	return question.body === 'VariationRequest' ? { agreed: enquiry, now: enquiry, stage: null } : enquiry;
}

function assertAnswer(name, value, what) {
	const open = documents.validator(name), closed = documents.closedValidator(name);
	assert.ok(open(value), `${what} is no ${name}:\n${faultsOf(open)}`);
	assert.ok(closed(value), `${what} has what ${name} does not describe:\n${faultsOf(closed)}`);
}

test('two validators take the document', async () => {
	const result = await new Validator().validate(structuredClone(documents.openapi));
	assert.ok(result.valid, JSON.stringify(result.errors, null, 1));
	const parsed = await SwaggerParser.validate(structuredClone(documents.openapi));
	assert.equal(parsed.openapi, '3.1.0');
});

test('the examples are what they are examples of', () => {
	for (const name of ['Enquiry', 'PricedEnquiry', 'CompareEnquiry', 'RangeEnquiry'])
		for (const example of documents.openapi.components.schemas[name].examples)
			assert.ok(documents.validator(name)(example), faultsOf(documents.validator(name)));
	for (const [name, response] of Object.entries(documents.openapi.components.responses))
		for (const { value } of Object.values(response.content['application/problem+json'].examples)) {
			assertAnswer('Problem', value, name);
			assert.equal(`Refused${value.status}`, name);
		}
	for (const example of documents.enquirySchema.examples)
		assert.ok(documents.priced(example), faultsOf(documents.priced));
});

test('every fixture is an enquiry, and every answer to it has its shape', async () => {
	for (const { name, enquiry } of fixtures()) {
		const priced = documents.priced(enquiry);
		assert.ok(priced, `${name}: ${faultsOf(documents.priced)}`);
		for (const question of questions()) {
			const body = bodyFor(question, enquiry);
			const takes = documents.validator(question.body);
			assert.ok(takes(body), `${name} to ${question.route}: ${faultsOf(takes)}`);
			for (const headers of [{}, { authorization: `Bearer ${ownerToken}`, 'accept-language': 'fr' }]) {
				const reply = await post(question.route, body, headers);
				assert.equal(reply.status, 200, `${name} to ${question.route}: ${JSON.stringify(reply.body).slice(0, 500)}`);
				assertAnswer(question.answer, reply.body, `${question.route} of ${name}`);
				if (reply.body.enquiry?.region)
					assert.ok(documents.validator('Enquiry')(reply.body.enquiry), faultsOf(documents.validator('Enquiry')));
			}
		}
	}
});

test('a comparison with a grid has its shape', async () => {
	const reply = await post('/v1/compare', { ...fixtures()[0].enquiry, grid: true });
	assert.equal(reply.status, 200);
	assert.ok(reply.body.grid);
	assertAnswer('Comparison', reply.body, 'the grid');
});

test('what can be looked up has its shape', async () => {
	const regions = await fetch(`${service.url}/v1/regions`).then((reply) => reply.json());
	assertAnswer('Regions', regions, '/v1/regions');
	for (const { id } of regions.regions)
		assertAnswer('Region', await fetch(`${service.url}/v1/regions/${id}`).then((reply) => reply.json()), id);
	for (const language of ['en', 'fr']) {
		const reply = await fetch(`${service.url}/v1/language`, { headers: { 'accept-language': language } });
		const body = await reply.json();
		assertAnswer('Language', body, language);
		assert.equal(body.language, language);
	}
	assertAnswer('Health', await fetch(`${service.url}/healthz`).then((reply) => reply.json()), 'health');
	assertAnswer('Readiness', await fetch(`${service.url}/readyz`).then((reply) => reply.json()), 'readiness');
});

/* The schemas of a member: a fact's and a variant's are several. */
const schemasOf = (node, name) => (node.properties ? [node] : node.oneOf).map((branch) => branch.properties?.[name]).filter(Boolean)
	.flatMap((child) => [child, ...child.anyOf ?? []]);

test('the fields of a form are those of the schema', async () => {
	const schema = await fetch(`${service.url}/v1/enquiry-schema`).then((reply) => reply.json());
	const { fields } = await fetch(`${service.url}/v1/language`).then((reply) => reply.json());
	const named = new Set(fields.map(({ pointer }) => pointer));
	const listed = [];
	const walk = (pointer, node) => {
		for (const branch of node.properties ? [node] : node.oneOf)
			for (const [name, child] of Object.entries(branch.properties)) {
				listed.push(`${pointer}/${name}`);
				if ((child.oneOf ?? [child])[0].required)
					walk(`${pointer}/${name}`, child);
			}
	};
	walk('', schema);
	assert.deepEqual([...new Set(listed)], [...named]);
	for (const { pointer, kind, help, unit, lo, hi, words, left_out } of fields) {
		const steps = pointer.split('/').slice(1);
		const holders = steps.slice(0, -1).reduce((nodes, step) => nodes.flatMap((node) => schemasOf(node, step)), [schema]);
		const found = holders.flatMap((node) => schemasOf(node, steps.at(-1)));
		const says = (member, value) => found.some((node) => node[member] === value);
		assert.ok(says('description', help), pointer);
		assert.ok(unit === undefined || says('x-unit', unit), `${pointer}: ${unit}`);
		assert.ok(lo === undefined || (says('minimum', lo) && says('maximum', hi)), `${pointer}: ${lo} to ${hi}`);
		assert.ok(says('x-if-left-out', left_out) || found.some((node) => node.const), `${pointer}: ${left_out}`);
		for (const word of kind === 'choice' || kind === 'set' ? words : [])
			assert.ok(found.some((node) => node.enum?.includes(word) || node.items?.enum?.includes(word) || node.const === word ||
				(typeof word === 'boolean' && node.type === 'boolean')), `${pointer}: ${word}`);
	}
});

test('every GET of the document answers, and HEAD alike', async () => {
	for (const [route, item] of Object.entries(documents.openapi.paths)) {
		if (!item.get)
			continue;
		const url = service.url + route.replace('{id}', 'demo-north');
		const got = await fetch(url), head = await fetch(url, { method: 'HEAD' });
		assert.equal(got.status, 200);
		assert.equal(head.status, 200);
		const type = got.headers.get('content-type').split(';')[0];
		assert.ok(item.get.responses[200].content[type], `${route}: ${type}`);
		assert.equal(head.headers.get('content-type'), got.headers.get('content-type'));
		await got.arrayBuffer();
	}
});

test('refusals are the ones that the document names', async () => {
	const good = fixtures()[0].enquiry;
	const asked = [
		[400, '{', {}],
		[401, good, { authorization: 'Bearer not-the-token' }],
		[406, good, { accept: 'image/png' }],
		[413, JSON.stringify({ a: 'x'.repeat(70000) }), {}],
		[415, good, { 'content-type': 'text/plain' }],
		[422, { ...good, region: 'nowhere' }, {}],
	];
	for (const [status, body, headers] of asked) {
		const reply = await post('/v1/quote', body, headers);
		assert.equal(reply.status, status);
		assert.equal(reply.headers.get('content-type'), 'application/problem+json');
		assert.ok(documents.openapi.paths['/v1/quote'].post.responses[status], `${status} is not described`);
		assertAnswer('Problem', reply.body, `a ${status}`);
		assert.equal(reply.body.status, status);
		assert.equal(reply.body.instance, reply.headers.get('x-request-id'));
	}
});

/* What a schema of this kind can't say, for it takes two values, arithmetic or the calendar. Whatever the service refuses of
 * an enquiry that the schema takes must be one of these. */
const beyond = [
	['conflict', /.*/, 'two values that do not agree: sums, orders, dates, a curve, a shelf under the floor'],
	['crossing', /points_m$/, 'an outline that crosses itself'],
	['folds', /points_m$/, 'an outline that runs back over itself'],
	['too-few', /points_m$/, 'fewer than three distinct points'],
	['out-of-range', /outline(\/corner_radius_m)?$/, 'area of an outline, a corner radius over half a side'],
	['out-of-range', /^$/, 'a quantity or an amount that comes out beyond what is kept exactly'],
	['no-edition', /(region|issued_on)$/, 'rates that begin later'],
	['unknown-id', /edition$/, 'an edition of another region'],
	['not-a-date', /_on$/, 'the thirtieth of February, to a validator that does not look at formats'],
	['missing', /kept_pump\/(id|curve|power_w)$/, 'which of two ways was meant'],
	['not-applicable', /^\/measured_within\//, 'a tolerance of a measure that is not given'],
	['not-applicable', /^\/facts\//, 'a fact about what is not there'],
];

function isBeyond({ code, pointer }) {
	return beyond.some(([word, where]) => word === code && where.test(pointer));
}

test(`${rounds} enquiries are judged alike by the schema and by the service`, async () => {
	const random = randomFrom(20261125);
	const seen = { priced: 0, beyond: 0, broken: 0 };
	for (let i = 0; i < rounds; i++) {
		const enquiry = enquiryOf(random, documents.enquirySchema);
		const broken = i % 2 === 1 ? breakOne(random, enquiry) : null;
		const good = documents.priced(enquiry);
		const why = faultsOf(documents.priced);
		const reply = await post('/v1/quote', enquiry);
		const what = () => `${i} ${broken} ${JSON.stringify(enquiry)}\nschema: ${why}\nservice: ${JSON.stringify(reply.body.errors)}`;

		assert.ok([200, 422].includes(reply.status), `${reply.status} ${what()}`);
		assertAnswer(reply.status === 200 ? 'Quote' : 'Problem', reply.body, what());
		if (!good) {
			assert.equal(reply.status, 422, `the service takes what the schema refuses: ${what()}`);
			const near = broken.slice(0, broken.lastIndexOf('/'));
			assert.ok(reply.body.errors.some(({ pointer }) => pointer.startsWith(near) || near.startsWith(pointer)),
				`no fault near the one that was made: ${what()}`);
			seen.broken++;
		} else if (reply.status === 422) {
			const more = reply.body.errors.filter((error) => !isBeyond(error));
			assert.deepEqual(more, [], `the service refuses what the schema takes: ${what()}`);
			seen.beyond++;
		} else {
			seen.priced++;
		}
	}
	process.stdout.write(`# ${JSON.stringify(seen)}\n`);
	assert.ok(seen.priced > rounds / 10 && seen.broken > rounds / 4, JSON.stringify(seen));
});
