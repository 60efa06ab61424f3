import type { ChildProcess } from 'node:child_process'
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Browser, BrowserContext, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CHROMIUM, buildPage, openBrowser, openPage } from '../helpers/browser'
import { buildCommand, cardwright, keptProject, project, startCardwright } from '../helpers/command'

if (!CHROMIUM) process.stderr.write('no Chromium found: the page is not tested in a browser\n')

const SIZE = { viewport: { width: 1100, height: 700 } }

describe.runIf(CHROMIUM !== undefined)('the page in a browser', () => {
  let browser: Browser
  let served: Served
  let context: BrowserContext

  beforeAll(async () => {
    buildCommand()
    buildPage()
    served = await serve()
    browser = await openBrowser()
    context = await browser.newContext(SIZE)
  })
  afterAll(async () => {
    served?.child.kill()
    served?.remove()
    await browser?.close()
  })

  test('shows the model, and what is in each of its pages', async () => {
    const { page, complaints } = await openPage(context, served.address)
    await page.waitForSelector('canvas[data-drawn]')
    expect(await page.title()).toBe('Tug')
    await page.waitForFunction(() => !document.querySelector('.contents')!.textContent.includes('…'))
    expect(await page.locator('.contents a').allInnerTexts()).toEqual([
      'Model\n6',
      'Sheets\n2',
      'Findings\n2',
      'Changes\n–',
      'Progress\n–',
    ])
    expect((await picture(page)).card).toBeGreaterThan(2000)
    expect(complaints).toEqual([])
    await page.close()
  })

  test('a click in the model chooses the piece that is drawn there', async () => {
    const { page, complaints } = await openPage(context, served.address)
    await page.getByRole('button', { name: 'front' }).click()
    await page.waitForTimeout(100)
    const box = (await page.locator('canvas').boundingBox())!
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2)
    expect(await page.locator('.card h2').innerText()).toBe('FR-01')
    // 40 × 40 mm of card of 405 g/m².
    const told = ['hull', 'divider, manila divider card, 18 pt', '0.45 mm', '0.648 g']
    expect(await page.locator('.card dd').allInnerTexts()).toEqual(told)
    await page.locator('canvas').press('Escape')
    expect(await page.locator('.card').isHidden()).toBe(true)
    expect(complaints).toEqual([])
    await page.close()
  })

  test('a mark is found by typing, and its sheet shows it', async () => {
    const { page, complaints } = await openPage(context, served.address)
    await page.keyboard.press('/')
    await page.keyboard.type('k-02')
    expect(await page.locator('#found-marks li').allInnerTexts()).toEqual(['DK-02 hull'])
    await page.keyboard.press('Enter')
    expect(await page.locator('.card h2').innerText()).toBe('DK-02')
    await page.getByRole('button', { name: 'folder-01' }).click()
    expect(await page.locator('.large .here title').allTextContents()).toEqual(['DK-02'])
    await page.locator('.large path', { has: page.getByText('DK-01', { exact: true }) }).click({ position: { x: 10, y: 10 } })
    expect(await page.locator('.chosen strong').innerText()).toBe('DK-01')
    await page.waitForFunction(() => (document.querySelector('.large img') as HTMLImageElement).naturalWidth > 0)
    expect(complaints).toEqual([])
    await page.close()
  })

  test('filters leave pieces out, the order of building lets them appear, a cut takes them away', async () => {
    const { page } = await openPage(context, served.address)
    await page.getByRole('button', { name: 'front' }).click()
    await page.getByLabel('rest in pencil').uncheck()
    const whole = (await picture(page)).card
    await page.getByLabel('Stock').selectOption('folder')
    const decks = (await picture(page)).card
    expect(decks).toBeGreaterThan(0)
    expect(decks).toBeLessThan(whole / 2)
    await page.getByLabel('Stock').selectOption('')
    await page.getByLabel('Built up to').fill('0')
    expect((await picture(page)).card).toBe(0)
    await page.getByLabel('Built up to').fill('1')
    expect((await picture(page)).card).toBe(whole)
    await page.getByLabel('Across').selectOption('starboard')
    const half = (await picture(page)).card
    expect(half / whole).toBeGreaterThan(0.4)
    expect(half / whole).toBeLessThan(0.6)
    await page.close()
  })

  test('taken apart, all of it stays in the picture', async () => {
    const { page } = await openPage(context, served.address)
    await page.getByLabel('Apart by').fill('1')
    const { card, edge } = await picture(page)
    expect(card).toBeGreaterThan(1000)
    expect(edge).toBe(0)
    await page.close()
  })

  test('all of it can be reached from the keyboard', async () => {
    const { page } = await openPage(context, served.address)
    for (const [i, name] of ['Model', 'Sheets', 'Findings', 'Changes', 'Progress'].entries()) {
      await page.keyboard.press(String(i + 1))
      expect(await page.locator('.contents [aria-current] .name').innerText()).toBe(name)
      expect(await page.locator('main:not([hidden]) .page').getAttribute('aria-label')).toBe(name)
    }
    await page.keyboard.press('1')
    await page.locator('canvas').focus()
    const before = await picture(page)
    await page.keyboard.press('ArrowLeft')
    expect((await picture(page)).sum).not.toBe(before.sum)
    await page.close()
  })

  test('a narrow screen has everything, and nothing sticks out', async () => {
    const narrow = await browser.newContext({ viewport: { width: 380, height: 720 }, hasTouch: true })
    const { page, complaints } = await openPage(narrow, served.address)
    for (const name of ['Sheets', 'Findings', 'Model']) {
      await page.locator('.contents a', { hasText: name }).tap()
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(380)
    }
    expect(complaints).toEqual([])
    await narrow.close()
  })

  test('follows a save, and keeps what was chosen', async () => {
    const { page, complaints } = await openPage(context, served.address)
    await page.keyboard.press('/')
    await page.keyboard.type('FR-02')
    await page.keyboard.press('Enter')
    const plan = join(served.folder, 'parts/tug/plan.ts')
    writeFileSync(plan, readFileSync(plan, 'utf8').replace('3.2', '4.4'))
    await page.waitForSelector('html[data-builds="1"]')
    expect(await page.locator('.status').innerText()).toBe('built anew, once since this page was opened')
    expect(await page.locator('.card h2').innerText()).toBe('FR-02')
    expect(await page.locator('.flat title').textContent()).toBe('73.3 × 30.0 mm')

    writeFileSync(plan, 'export const beam = 3.2 +')
    await page.waitForSelector('html[data-builds="2"]')
    expect(await page.locator('.stale').innerText()).toBe(
      'the source could not be read; this is the last build without errors',
    )
    expect(await page.locator('.contents a').nth(2).innerText()).toBe('Findings\n1')
    expect((await picture(page)).card).toBeGreaterThan(2000)

    writeFileSync(plan, 'export const beam = 3.2\n')
    await page.waitForSelector('html[data-builds="3"]')
    expect(await page.locator('.stale').count()).toBe(0)
    expect(complaints).toEqual([])
    await page.close()
  })

  test('the fit is told after the first picture, and its findings lead to their place in the model', async () => {
    const { page, complaints } = await openPage(context, served.address)
    await page.keyboard.press('3')
    await page.waitForFunction(() => document.querySelector('.findings-page')!.textContent.includes('are among them'))
    const entry = page.locator('.findings li').first()
    expect(await entry.locator('strong').innerText()).toBe('note')
    expect(await entry.innerText()).toContain('loose')
    const { folder } = served
    const index = join(folder, 'parts/tug/index.ts')
    const source = readFileSync(index, 'utf8')
    // A deck half-way up cuts through the frame at its middle.
    writeFileSync(index, source.replace('full.m(1.8), { x }', 'full.m(0.3), { x }').replace('stations.at(full.m(2)', 'stations.at(full.m(1)'))
    const clash = page.locator('.findings li', { hasText: /DK-01 and FR-\d+ are in each other/ })
    await clash.waitFor()
    await page.getByLabel('Findings').last().selectOption('kind:clash')
    expect(await page.locator('.findings .found strong').allInnerTexts()).toEqual(['warning', 'warning', 'warning'])
    await clash.getByRole('button', { name: 'show in the model' }).click()
    await page.waitForSelector('.spot.here')
    expect(await page.locator('.card .found.here').innerText()).toContain('in each other')
    // The place is looked at: its pin is in the middle of the picture.
    await page.waitForFunction(() => {
      const middle = (selector: string) => {
        const { left, right, top, bottom } = document.querySelector(selector)!.getBoundingClientRect()
        return [(left + right) / 2, (top + bottom) / 2] as const
      }
      const [[x, y], [u, v]] = [middle('.spot.here'), middle('canvas')]
      return Math.hypot(x - u, y - v) < 2
    })
    await page.keyboard.press('2')
    // Of two pieces that clash each has its pin, on its own sheet.
    for (const [sheet, mark] of [['folder-01', 'DK-01'], ['divider-01', 'FR-']] as const) {
      await page.locator('.leaf', { hasText: sheet }).click()
      expect(await page.locator('.large .pin.warning').count()).toBe(3)
      await page.locator('.large .pin.warning').first().click()
      expect(await page.locator('.chosen .found').innerText()).toMatch(/DK-01 and FR-\d+ are in each other/)
      expect(await page.locator('.chosen strong').first().innerText()).toContain(mark)
      await page.locator('.large .bar button').first().click()
    }
    writeFileSync(index, source)
    await page.waitForFunction(() => !document.querySelector('.contents')!.textContent.includes('…'))
    expect(complaints).toEqual([])
    await page.close()
  })

  test('opens from one file without a network, and draws', async () => {
    const folder = project('standing')
    const { code, stdout } = cardwright(folder, ['view', '--export', 'tug.html', '--no-types'])
    expect([code, stdout.split('\n').at(-2)]).toEqual([0, 'the page is in tug.html'])
    const offline = await browser.newContext({ ...SIZE, offline: true })
    const asked: string[] = []
    offline.on('request', (request) => asked.push(request.url()))
    const { page, complaints } = await openPage(offline, `file://${join(folder, 'tug.html')}`)
    expect((await picture(page)).card).toBeGreaterThan(2000)
    // What the fit has to say is in the file.
    expect(await page.locator('.contents a').nth(2).innerText()).toBe('Findings\n2')
    await page.keyboard.press('2')
    await page.waitForFunction(() => (document.querySelector('.gallery img') as HTMLImageElement)?.naturalWidth > 0)
    expect(complaints).toEqual([])
    expect(asked.filter((url) => !/^(file|blob|data):/.test(url))).toEqual([])
    await offline.close()
  })

  test('without WebGL it says so, and shows the drawings', async () => {
    const flat = await openBrowser(['--disable-3d-apis'])
    try {
      const { page } = await openPage(await flat.newContext(SIZE), served.address)
      expect(await page.locator('.without p').first().innerText()).toBe(
        'This browser draws no three-dimensional pictures: it has no WebGL, or it is switched off.',
      )
      await page.keyboard.press('/')
      await page.keyboard.type('FR-01')
      await page.keyboard.press('Enter')
      expect(await page.locator('.card .flat title').textContent()).toBe('53.3 × 30.0 mm')
      await page.getByRole('button', { name: 'Look at the sheets' }).click()
      expect(await page.locator('.gallery img').count()).toBe(2)
    } finally {
      await flat.close()
    }
  })
})

interface Served {
  readonly child: ChildProcess
  readonly address: string
  readonly folder: string
  readonly remove: () => void
}

/** `cardwright view` on a project that outlives single tests, once it has built. */
async function serve(): Promise<Served> {
  const { folder, remove } = keptProject('standing')
  const child = startCardwright(folder, ['view', '--port', '0', '--no-types'])
  const address = await new Promise<string>((resolve, reject) => {
    let told = ''
    child.stdout!.on('data', (part) => {
      told += String(part)
      const [, found] = /the page is at (\S+) /.exec(told) ?? []
      if (found !== undefined && told.includes('waiting for changes')) resolve(found)
    })
    child.on('exit', () => reject(new Error(`view ended: ${told}`)))
  })
  return { child, address, folder, remove }
}

interface Picture {
  /** Points in the colours of card, in CSS pixels. */
  readonly card: number
  /** Those of them on the very edge of the picture. */
  readonly edge: number
  /** Differs when any point does. */
  readonly sum: number
}

/** What WebGL draws, read in the same task as it is drawn, since the browser keeps it no longer. */
function picture(page: Page): Promise<Picture> {
  return page.evaluate(() => {
    const canvas = document.querySelector('canvas') as HTMLCanvasElement & { draw: () => void }
    const { clientWidth: width, clientHeight: height } = canvas
    const copy = Object.assign(document.createElement('canvas'), { width, height }).getContext('2d')!
    canvas.draw()
    copy.drawImage(canvas, 0, 0, width, height)
    const { data } = copy.getImageData(0, 0, width, height)
    let [card, edge, sum] = [0, 0, 0]
    for (let i = 0; i < data.length; i += 4) {
      const [r, g, b, a] = data.subarray(i, i + 4) as unknown as [number, number, number, number]
      sum = (sum * 31 + r + 3 * g + 7 * b) % 1_000_003
      // Manila and grey-green: neither is anywhere else in the picture.
      if (a < 200 || !((r > b + 55 && g > b + 30) || (g > r + 6 && g > b + 6))) continue
      card++
      const [x, y] = [(i / 4) % width, Math.floor(i / 4 / width)]
      if (x === 0 || y === 0 || x === width - 1 || y === height - 1) edge++
    }
    return { card, edge, sum }
  })
}
