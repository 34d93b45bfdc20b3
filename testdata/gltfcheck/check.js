// Validates each binary glTF file named on the command line with the Khronos validator and prints, as one JSON array, what it says:
// counts by severity, the messages, and what it counted.
'use strict'
const fs = require('fs')
const validator = require('gltf-validator')

async function read(file) {
  const r = await validator.validateBytes(new Uint8Array(fs.readFileSync(file)), {maxIssues: 50})
  return {
    file, errors: r.issues.numErrors, warnings: r.issues.numWarnings, infos: r.issues.numInfos, hints: r.issues.numHints,
    messages: r.issues.messages.map((m) => `${m.code} ${m.pointer || ''}: ${m.message}`), triangles: r.info.totalTriangleCount,
  }
}

Promise.all(process.argv.slice(2).map(read)).then((all) => console.log(JSON.stringify(all)))
