import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { CHROMIUM, buildPage, openBrowser, openPage } from '../helpers/browser'
import { box, testPiece } from '../sheet/pieces'
import { pageOfEverything, pageOfPieces } from './samplePage'

const WIDE = { viewport: { width: 1280, height: 800 } }
const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }
const PAGES = ['model', 'sheets', 'findings', 'changes', 'progress'] as const

describe.runIf(CHROMIUM !== undefined)('the page can be read and reached', () => {
  let browser: Browser
  let folder: string

  beforeAll(async () => {
    buildPage()
    folder = mkdtempSync(join(tmpdir(), 'cardwright-page-'))
    writeFileSync(join(folder, 'all.html'), pageOfEverything())
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    rmSync(folder, { recursive: true, force: true })
  })

  async function open(options: BrowserContextOptions, html?: string): Promise<{ page: Page; complaints: string[] }> {
    const file = join(folder, html === undefined ? 'all.html' : 'own.html')
    if (html !== undefined) writeFileSync(file, html)
    const opened = await openPage(await browser.newContext(options), `file://${file}`)
    await opened.page.waitForSelector('canvas[data-drawn]')
    return opened
  }

  // WCAG 2.2, success criterion 1.4.3: 4.5 : 1 for text, 3 : 1 for large text; controls that are disabled are excepted.
  test.each([
    ['light', WIDE],
    ['dark', WIDE],
    ['light', PHONE],
    ['dark', PHONE],
  ] as const)('text stands out from what is behind it: %s, %o', async (colorScheme, size) => {
    const { page } = await open({ ...size, colorScheme })
    for (const name of PAGES) {
      await page.evaluate((hash) => (location.hash = hash), name)
      await page.waitForSelector(`#page-${name}:not([hidden])`)
      if (name === 'model') await page.evaluate(() => document.querySelector<HTMLElement>('#found-marks')!.focus())
      const { seen, faint } = await page.evaluate(contrasts)
      expect([name, faint]).toEqual([name, []])
      expect(seen).toBeGreaterThan(8)
    }
    await page.evaluate(() => (location.hash = 'findings'))
    await page.getByRole('button', { name: 'show in the model' }).first().click()
    await page.waitForSelector('.spot.here')
    const { seen, faint } = await page.evaluate(contrasts)
    expect(faint).toEqual([])
    expect(seen).toBeGreaterThan(20)
    await page.context().close()
  })

  test('nothing sticks out of a phone', async () => {
    const { page, complaints } = await open(PHONE)
    for (const name of PAGES) {
      await page.evaluate((hash) => (location.hash = hash), name)
      await page.waitForSelector(`#page-${name}:not([hidden])`)
      expect([name, await page.evaluate(wider)]).toEqual([name, []])
    }
    expect(complaints).toEqual([])
    await page.context().close()
  })

  test('the Tab key comes to every control of every page, and shows where it is', async () => {
    const { page } = await open(WIDE)
    for (const name of PAGES) {
      await page.evaluate((hash) => (location.hash = hash), name)
      await page.waitForSelector(`#page-${name}:not([hidden])`)
      const wanted = await page.evaluate(numberControls)
      await page.evaluate(() => (document.activeElement as HTMLElement).blur())
      const reached = new Map<number, number>()
      for (let i = 0; i < wanted.length + 5; i++) {
        await page.keyboard.press('Tab')
        const at = await page.evaluate(focused)
        if (at) reached.set(at.number, at.outline)
      }
      expect([name, wanted.filter(({ number }) => !reached.has(number))]).toEqual([name, []])
      expect([name, wanted.filter(({ number }) => reached.get(number)! < 2)]).toEqual([name, []])
    }
    await page.context().close()
  })

  test('a sheet opens and closes from the keyboard, and the next key goes on from there', async () => {
    const { page } = await open(WIDE)
    await page.keyboard.press('2')
    await page.locator('.leaf').nth(1).focus()
    await page.keyboard.press('Enter')
    expect(await page.locator('.large .caption strong').innerText()).toBe('folder-01')
    expect(await page.evaluate(() => document.activeElement!.textContent)).toBe('All sheets')
    await page.locator('.large .pin').first().focus()
    await page.keyboard.press('Enter')
    expect(await page.locator('.chosen .found').innerText()).toContain('FR-3 has a web of 0.42 mm')
    await page.keyboard.press('Escape')
    expect(await page.evaluate(() => document.activeElement!.querySelector('strong')!.textContent)).toBe('folder-01')
    await page.keyboard.press('1')
    expect(await page.locator('.card h2').innerText()).toBe('FR-3')
    await page.keyboard.press('Escape')
    expect(await page.locator('.card').isHidden()).toBe(true)
    await page.context().close()
  })

  test('building goes step by step along the order, by key and by button', async () => {
    const { page } = await open(WIDE)
    const told = async () => (await page.locator('.told').innerText()).split('\n')
    // hull/deck is within hull, so it is finished before.
    expect(await told()).toEqual(['all 3 pieces that have a place', 'step 2 of 2: FR, hull'])
    await page.getByRole('button', { name: 'a step back' }).click()
    expect(await told()).toEqual(['1 of 3', 'step 1 of 2: FR, hull/deck'])
    await page.getByLabel('Built up to').focus()
    await page.keyboard.press('ArrowRight')
    expect(await told()).toEqual(['2 of 3', 'step 2 of 2: FR, hull'])
    await page.getByRole('button', { name: 'a step on' }).click()
    expect((await told())[0]).toBe('all 3 pieces that have a place')
    await page.context().close()
  })

  test('one finger turns the model, two draw it nearer, and the page does not scroll away under them', async () => {
    const { page } = await open(PHONE)
    const touch = await page.context().newCDPSession(page)
    const { x, y, width, height } = (await page.locator('canvas').boundingBox())!
    const [cx, cy] = [x + width / 2, y + height / 2]
    const gesture = async (steps: readonly (readonly (readonly [number, number])[])[]) => {
      for (const [i, points] of steps.entries()) {
        const touchPoints = points.map(([dx, dy], id) => ({ x: cx + dx, y: cy + dy, id }))
        await touch.send('Input.dispatchTouchEvent', { type: i === 0 ? 'touchStart' : 'touchMove', touchPoints })
      }
      await touch.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] })
    }
    const whole = await page.evaluate(spread)
    await gesture([[[0, 0]], [[30, 0]], [[60, 10]], [[90, 20]]])
    const turned = await page.evaluate(spread)
    expect(turned.sum).not.toBe(whole.sum)
    await gesture([[[-30, 0], [30, 0]], [[-50, 0], [50, 0]], [[-80, 0], [80, 0]]])
    const near = await page.evaluate(spread)
    expect(near.points).toBeGreaterThan(turned.points * 1.2)
    expect(await page.evaluate(() => document.querySelector('.model-page')!.scrollTop)).toBe(0)
    await page.context().close()
  })

  test('nothing moves by itself for those who asked for that', async () => {
    const { page } = await open({ ...WIDE, reducedMotion: 'reduce' })
    const moving = await page.evaluate(() =>
      Array.from(document.querySelectorAll('*')).filter((one) => {
        const { transitionDuration, transitionProperty, animationName } = getComputedStyle(one)
        return animationName !== 'none' || (transitionProperty !== 'none' && transitionDuration !== '0s')
      }).length,
    )
    expect(moving).toBe(0)
    await page.context().close()
  })

  test('the progress of an assembly counts all that is within it', async () => {
    const { page } = await open(WIDE)
    await page.keyboard.press('5')
    expect(await page.locator('.progress-page td.aside').allInnerTexts()).toEqual(['1 cut, 1 outdated', '1 cut, 1 outdated', '1 outdated'])
    await page.context().close()
  })

  test('a model of one piece, and one of none, are told as such', async () => {
    const one = testPiece('KE', box(0, 0, 40, 30), { pose: { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 0, 1] } })
    const { page, complaints } = await open(WIDE, pageOfPieces([one]))
    expect((await page.evaluate(spread)).points).toBeGreaterThan(1000)
    await page.getByLabel('Apart by').fill('1')
    expect(await page.locator('.told').innerText()).toBe('the one piece\nstep 1 of 1: KE, no assembly')
    await page.keyboard.press('3')
    expect(await page.locator('.findings-page .nothing').innerText()).toBe('Nothing was found. Have a look at the sheets before you cut.')
    await page.keyboard.press('4')
    expect(await page.locator('.changes-page .nothing').innerText()).toContain('There is nothing to compare with')
    await page.keyboard.press('5')
    expect(await page.locator('.progress-page .nothing').innerText()).toContain('There is no logbook yet')
    expect(complaints).toEqual([])
    await page.context().close()

    const empty = await open(WIDE, pageOfPieces([]))
    expect(await empty.page.locator('.missing').innerText()).toBe('This model has no pieces yet.')
    expect(empty.complaints).toEqual([])
    await empty.page.context().close()
  })
})

/** In the page: texts that are seen, and those that are too faint, with the contrast each has. */
function contrasts(): { seen: number; faint: string[] } {
  const dot = Object.assign(document.createElement('canvas'), { width: 1, height: 1 }).getContext('2d', { willReadFrequently: true })!
  const over = (colours: readonly string[]): number[] => {
    dot.clearRect(0, 0, 1, 1)
    for (const colour of colours) {
      dot.fillStyle = colour
      dot.fillRect(0, 0, 1, 1)
    }
    return [...dot.getImageData(0, 0, 1, 1).data]
  }
  // Relative luminance and contrast ratio as WCAG 2.2 defines them.
  const luminance = (rgb: readonly number[]) => {
    const [r, g, b] = rgb.map((part) => (part / 255 <= 0.04045 ? part / 255 / 12.92 : ((part / 255 + 0.055) / 1.055) ** 2.4))
    return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!
  }
  const faint: string[] = []
  let seen = 0
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT)
  while (walker.nextNode()) {
    const text = walker.currentNode.textContent!.trim()
    const parent = walker.currentNode.parentElement!
    if (text === '' || !(parent instanceof HTMLElement) || !parent.checkVisibility() || parent.closest('script, noscript, option, :disabled')) continue
    const behind: string[] = []
    for (let at: Element | null = parent; at; at = at.parentElement) behind.unshift(getComputedStyle(at).backgroundColor)
    const { color, fontSize, fontWeight } = getComputedStyle(parent)
    const [ink, paper] = [luminance(over(['#fff', ...behind, color])), luminance(over(['#fff', ...behind]))]
    const ratio = (Math.max(ink, paper) + 0.05) / (Math.min(ink, paper) + 0.05)
    const size = Number.parseFloat(fontSize)
    const large = size >= 24 || (size >= 18.66 && Number(fontWeight) >= 700)
    seen++
    if (ratio < (large ? 3 : 4.5)) faint.push(`${text.slice(0, 30)}: ${ratio.toFixed(2)}`)
  }
  return { seen, faint }
}

/** In the page: what is wider than the screen and cannot be scrolled to. */
function wider(): string[] {
  const width = document.documentElement.clientWidth
  return Array.from(document.querySelectorAll<HTMLElement>('body *')).flatMap((one) => {
    const { left, right, width: own } = one.getBoundingClientRect()
    const clipped = one.closest('.pins, .sheet, [hidden]')
    return own > 0 && !clipped && one.checkVisibility() && (right > width + 1 || left < -1) ? [`${one.tagName} ${one.className}: ${left} to ${right}`] : []
  })
}

/** In the page: what a keyboard must come to, each with a number. */
function numberControls(): { number: number; name: string }[] {
  const all = Array.from(document.querySelectorAll<HTMLElement>('a[href], button, input, select, [tabindex]'))
  return all
    .filter((one) => one.checkVisibility() && !(one as HTMLButtonElement).disabled && one.tabIndex >= 0)
    .map((one, number) => {
      one.dataset['number'] = String(number)
      return { number, name: `${one.tagName} ${one.id || one.textContent!.slice(0, 20)}` }
    })
}

/** In the page: which of them has the focus, and how wide a line is drawn round it, px. */
function focused(): { number: number; outline: number } | undefined {
  const at = document.activeElement as HTMLElement
  const { outlineStyle, outlineWidth } = getComputedStyle(at)
  const number = at.dataset['number']
  return number === undefined ? undefined : { number: Number(number), outline: outlineStyle === 'none' ? 0 : Number.parseFloat(outlineWidth) }
}

/** In the page: how much of the picture is card, and a sum that differs when any point does. */
function spread(): { points: number; sum: number } {
  const canvas = document.querySelector('canvas') as HTMLCanvasElement & { draw: () => void }
  const { clientWidth: width, clientHeight: height } = canvas
  const copy = Object.assign(document.createElement('canvas'), { width, height }).getContext('2d')!
  canvas.draw()
  copy.drawImage(canvas, 0, 0, width, height)
  const { data } = copy.getImageData(0, 0, width, height)
  let [points, sum] = [0, 0]
  for (let i = 0; i < data.length; i += 4) {
    sum = (sum * 31 + data[i]! + 3 * data[i + 1]! + 7 * data[i + 2]!) % 1_000_003
    if (data[i + 3]! > 250) points++
  }
  return { points, sum }
}
