// A client that knows nothing but the .proto files. Prints what it was told as one JSON object.
//
//   node ask.js HOST:PORT SCENARIO.json FOLDER...
//
// SCENARIO.json holds the tables of a scenario file in its own keys, and pitch_order; the folders hold
// latebreak/v1/*.proto and google/rpc/*.proto.
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import * as grpc from '@grpc/grpc-js';
import { loadSync } from '@grpc/proto-loader';

const [address, file, ...includeDirs] = process.argv.slice(2);
const scenario = JSON.parse(readFileSync(file, 'utf8'));
const definition = loadSync(
  ['latebreak/v1/what_if.proto', 'google/rpc/status.proto', 'google/rpc/error_details.proto'],
  { includeDirs, keepCase: true, longs: Number, json: true },
);
const { WhatIfService } = grpc.loadPackageDefinition(definition).latebreak.v1;
const client = new WhatIfService(address, grpc.credentials.createInsecure());

function ask(method, request, seconds = 60) {
  const options = { deadline: Date.now() + 1000 * seconds };
  return new Promise((resolve, reject) => {
    client[method](request, new grpc.Metadata(), options, (error, answer) => (error ? reject(error) : resolve(answer)));
  });
}

// What went wrong: the status, and the messages of the standard error model that came with it.
function told(error) {
  const [packed] = error.metadata.get('grpc-status-details-bin');
  const status = packed ? definition['google.rpc.Status'].deserialize(packed) : { details: [] };
  return { code: grpc.status[error.code], message: error.details, details: status.details };
}

const refused = (method, request, seconds) => ask(method, request, seconds).then(() => 'answered', told);

// Many questions of one call: what came for each, by its id. The next is written when the server has room for it.
async function askMany(questions) {
  const call = client.Ask();
  const found = {};
  call.on('data', ({ id, status, ...answer }) => {
    found[id] = status ? { ...status, code: grpc.status[status.code] } : Object.values(answer)[0];
  });
  const end = once(call, 'end'); // rejects where the call itself fails
  for (const [id, question] of Object.entries(questions)) {
    if (!call.write({ id, ...question })) await Promise.race([once(call, 'drain'), end]);
  }
  call.end();
  await end;
  return found;
}

async function flights(request, most = Infinity) {
  const call = client.StreamFlights(request);
  const throws = {};
  try {
    for await (const { pitch, paths } of call) {
      throws[pitch] = (throws[pitch] ?? 0) + paths.length;
      if (throws[pitch] >= most) break; // this cancels the call
    }
  } finally {
    call.cancel();
  }
  return throws;
}

const small = { scenario, throws: 400 };
const [name, other] = scenario.pitch_order;
const fast = { ...scenario, pitch: { ...scenario.pitch, [name]: { ...scenario.pitch[name], speed_mph: 900 } } };

console.log(JSON.stringify({
  fly: await ask('Fly', small),
  compare: await ask('Compare', small),
  many: await askMany({
    fly: { fly: small }, compare: { compare: small }, impossible: { compare: { scenario: fast } }, nothing: {},
  }),
  flights: await flights({ ...small, points: 5 }),
  first_flights: await flights({ ...small, throws: 100000 }, 1),
  impossible: await refused('Compare', { scenario: { ...fast, ball: { lift_law: 'no_such_lift' } } }),
  too_much: await refused('Compare', { scenario, throws: 100000000 }),
  too_late: await refused('Levers', { scenario, pitch: other, throws: 100000 }, 0.2),
}));
client.close();
