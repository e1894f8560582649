// What a web developer would put in our place, without any pricing: Fastify, which parses our enquiry and stringifies one fixed
// object of our answer's shape.
//   node peer.mjs schema|plain PORT FILE     FILE: an answer of ours
// schema: by the serializer that Fastify compiles from a response schema, its fast way; plain: by JSON.stringify. Loopback only.
import { readFileSync } from 'node:fs';
import Fastify from 'fastify';

// The schema that the answer itself has; entries of a list may have different members and types.
function schemaOf(values) {
	const known = values.filter((value) => value !== null);
	const types = new Set(known.map((value) => (Array.isArray(value) ? 'array' : typeof value)));
	if (types.size !== 1) return {}; // null alone, or mixed: the serializer falls back to JSON.stringify there
	const [type] = types;
	const schema = { type };
	if (type === 'array') schema.items = schemaOf(known.flat());
	if (type === 'object') {
		const keys = [...new Set(known.flatMap((value) => Object.keys(value)))];
		schema.properties = Object.fromEntries(keys.map((key) =>
			[key, schemaOf(known.filter((value) => key in value).map((value) => value[key]))]));
	}
	if (known.length < values.length) schema.nullable = true;
	return schema;
}

const [how, port, file] = process.argv.slice(2);
const fixed = JSON.parse(readFileSync(file, 'utf8'));
const options = how === 'schema' ? { schema: { response: { 200: schemaOf([fixed]) } } } : {};
const service = Fastify({ logger: false });
service.post('/v1/quote', options, async (request) => {
	if (typeof request.body.region !== 'string') throw new Error('no region'); // the body is parsed, and looked at
	return fixed;
});
process.on('SIGTERM', () => process.exit(0));
await service.listen({ host: '127.0.0.1', port: Number(port) });
