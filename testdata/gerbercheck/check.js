// Reads each file named on the command line with general-purpose parsers and prints, as one JSON array, what they make of
// it: warnings, counts of draws, moves, flashes and regions, and the bounding box in mm.
'use strict'
const fs = require('fs')
const gerberParser = require('gerber-parser')
const gerberPlotter = require('gerber-plotter')

function read(file) {
  return new Promise((resolve) => {
    const found = {
      file, warnings: [], draws: 0, moves: 0, flashes: 0, regions: 0, tools: 0, box: null, units: '',
    }
    const parser = gerberParser({filetype: file.endsWith('.drl') ? 'drill' : 'gerber'})
    const plotter = gerberPlotter({optimizePaths: false})
    const warn = (who) => (w) => found.warnings.push(`${who}, line ${w.line}: ${w.message}`)
    parser.on('warning', warn('parser'))
    plotter.on('warning', warn('plotter'))
    parser.once('error', (e) => { found.warnings.push('parser error: ' + e.message); resolve(found) })
    plotter.once('error', (e) => { found.warnings.push('plotter error: ' + e.message); resolve(found) })
    parser.on('data', (o) => {
      if (o.type === 'op' && o.op === 'int') found.draws++
      if (o.type === 'op' && o.op === 'move') found.moves++
      if (o.type === 'op' && o.op === 'flash') found.flashes++
      if (o.type === 'tool') found.tools++
      if (o.type === 'set' && o.prop === 'region' && o.value) found.regions++
    })
    plotter.on('data', (o) => {
      if (o.type === 'size') { found.box = o.box; found.units = o.units }
    })
    plotter.once('end', () => resolve(found))
    parser.pipe(plotter)
    parser.write(fs.readFileSync(file, 'utf8'))
    parser.end()
  })
}

Promise.all(process.argv.slice(2).map(read)).then((all) => console.log(JSON.stringify(all)))
