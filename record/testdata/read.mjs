// Reads a published log with nothing but its folder, Node's WebCrypto and docs/formats/register.md: recomputes the tree of the leaves, compares every
// tile, and verifies the signatures of the checkpoint. Usage: read.mjs FOLDER KEY [WITNESS KEY …]; it says what it found as JSON.
import { readFileSync, readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
const { subtle } = globalThis.crypto
const [folder, ...keys] = process.argv.slice(2)
const cat = (...parts) => Buffer.concat(parts.map(p => Buffer.from(p)))
const sha = async data => Buffer.from(await subtle.digest('SHA-256', data))
const leafHash = body => sha(cat([0], body))
const node = (l, r) => sha(cat([1], l, r))
async function root (hashes) {
  if (hashes.length === 0) return sha(Buffer.alloc(0))
  if (hashes.length === 1) return hashes[0]
  let k = 1
  while (k * 2 < hashes.length) k *= 2
  return node(await root(hashes.slice(0, k)), await root(hashes.slice(k)))
}
function walk (at) {
  return readdirSync(at).flatMap(n => statSync(join(at, n)).isDirectory() ? walk(join(at, n)) : [join(at, n)])
}
const number = path => Number(path.replace(/\.p\/\d+$/, '').replaceAll('x', '').replaceAll('/', ''))
const bundles = walk(join(folder, 'tile', 'entries')).map(p => [number(p.slice(join(folder, 'tile', 'entries').length + 1)), p]).sort((a, b) => a[0] - b[0])
const leaves = []
for (const [, path] of bundles) {
  const body = readFileSync(path)
  for (let i = 0; i < body.length;) {
    const n = body.readUInt16BE(i)
    leaves.push(body.subarray(i + 2, i + 2 + n))
    i += 2 + n
  }
}
const levels = [await Promise.all(leaves.map(leafHash))]
for (let up = levels[0]; up.length >= 256;) {
  const next = []
  for (let i = 0; i + 256 <= up.length; i += 256) next.push(await root(up.slice(i, i + 256)))
  levels.push(next)
  up = next
}
let tiles = 0
for (let level = 0; level < levels.length; level++) {
  const at = join(folder, 'tile', String(level))
  for (const path of walk(at)) {
    const n = number(path.slice(at.length + 1))
    const want = cat(...levels[level].slice(n * 256, n * 256 + 256))
    const have = readFileSync(path)
    if (Buffer.compare(have, want.subarray(0, have.length)) !== 0 || have.length === 0) throw new Error('tile ' + path)
    tiles++
  }
}
const signed = readFileSync(join(folder, 'checkpoint'), 'utf8')
const end = signed.lastIndexOf('\n\n')
const text = signed.slice(0, end + 1)
const [origin, size, top] = text.split('\n')
const by = []
for (const line of signed.slice(end + 2).split('\n').filter(Boolean)) {
  const [, name, base64] = /^— (\S+) (\S+)$/.exec(line)
  const raw = Buffer.from(base64, 'base64')
  for (const key of keys) {
    const [of, id, pub] = key.split(/\+(.*?)\+(.*)/s)
    const bytes = Buffer.from(pub, 'base64')
    const real = (await sha(cat(of + '\n', bytes))).subarray(0, 4)
    if (of !== name || real.toString('hex') !== id || Buffer.compare(raw.subarray(0, 4), real) !== 0) continue
    const imported = await subtle.importKey('raw', bytes.subarray(1), 'Ed25519', false, ['verify'])
    const type4 = bytes[0] === 4
    const message = type4 ? 'cosignature/v1\ntime ' + raw.readBigUInt64BE(4) + '\n' + text : text
    if (!await subtle.verify('Ed25519', imported, raw.subarray(type4 ? 12 : 4), Buffer.from(message))) throw new Error('the signature of ' + name)
    by.push(name)
  }
}
const computed = (await root(levels[0])).toString('base64')
console.log(JSON.stringify({ origin, size: Number(size), leaves: leaves.length, holds: computed === top && Number(size) === leaves.length, tiles, by }))
