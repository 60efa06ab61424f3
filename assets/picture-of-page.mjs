// node assets/picture-of-page.mjs: writes assets/page.png, the demo model as the page draws it. Needs `npm run build`
// and a Chromium; builds aside, so that out/ stays as it is.
import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { chromium } from 'playwright-core'

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..')
const [executablePath = '/usr/bin/chromium'] = process.argv.slice(2)
const FLAGS = ['--no-sandbox', '--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader']

const aside = mkdtempSync(join(tmpdir(), 'cardwright-picture-'))
try {
  // From the committed layout the build takes seconds.
  cpSync(join(ROOT, 'out'), join(aside, 'out'), { recursive: true })
  const file = join(aside, 'page.html')
  const words = ['view', 'sandpiper', '--export', file, '--out', join(aside, 'out'), '--no-types']
  spawnSync(process.execPath, [join(ROOT, 'dist/cli/bin.js'), ...words], { cwd: ROOT, stdio: 'inherit' })
  const browser = await chromium.launch({ executablePath, args: FLAGS })
  const page = await browser.newPage({ viewport: { width: 1080, height: 700 }, colorScheme: 'light' })
  await page.goto(`file://${file}`)
  await page.waitForSelector('canvas[data-finest=true]')
  await page.screenshot({ path: join(ROOT, 'assets/page.png') })
  await browser.close()
} finally {
  rmSync(aside, { recursive: true, force: true })
}
