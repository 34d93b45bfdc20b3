// Reads each DXF file named on the command line with a general-purpose parser and prints, as one JSON array, what it makes of it.
'use strict'
const fs = require('fs')
const DxfParser = require('dxf-parser')

function read(file) {
  const d = new DxfParser().parseSync(fs.readFileSync(file, 'latin1'))
  const layers = {}
  for (const [name, l] of Object.entries(d.tables.layer.layers)) layers[name] = l.colorIndex
  return {
    file, version: d.header.$ACADVER, unit: d.header.$INSUNITS, layers, blocks: Object.keys(d.blocks || {}),
    entities: d.entities,
  }
}

console.log(JSON.stringify(process.argv.slice(2).map(read)))
