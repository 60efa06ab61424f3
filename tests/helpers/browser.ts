import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'

const ROOT = join(__dirname, '../..')

/** A Chromium that is installed; tests in a browser are left out where there is none. CI installs one. */
export const CHROMIUM = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'].find((path) =>
  existsSync(path),
)

/** Draws in software, and asks nobody for updates. */
const FLAGS = [
  '--no-sandbox',
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--no-first-run',
]

export function openBrowser(more: readonly string[] = []): Promise<Browser> {
  return chromium.launch({ executablePath: CHROMIUM!, args: [...FLAGS, ...more] })
}

/** A page, and everything that its console and its scripts complained of. */
export async function openPage(
  context: BrowserContext,
  address: string,
): Promise<{ page: Page; complaints: string[] }> {
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text())
  })
  page.on('pageerror', ({ message }) => complaints.push(message))
  await page.goto(address)
  await page.waitForSelector('html[data-ready]')
  return { page, complaints }
}

/** Bundles script and style of the page unless that is newer than what it is made from. */
export function buildPage(): void {
  const sources = readdirSync(join(ROOT, 'lib/view/page')).map((name) => join(ROOT, 'lib/view/page', name))
  const made = ['page.js', 'page.css'].map((name) => join(ROOT, 'dist/view', name))
  const newest = Math.max(...sources.map(timeOf))
  if (made.every((file) => timeOf(file) > newest)) return
  const { status, stderr } = spawnSync('npm', ['run', '--silent', 'page'], { cwd: ROOT, encoding: 'utf8' })
  if (status !== 0) throw new Error(`the page does not bundle:\n${stderr}`)
}

function timeOf(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0
}
