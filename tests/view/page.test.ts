import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { join } from 'node:path'
import { CHROMIUM, buildPage, openBrowser, openPage } from '../helpers/browser'
import { buildCommand, cardwright, project } from '../helpers/command'

if (!CHROMIUM) process.stderr.write('no Chromium found: the page is not tested in a browser\n')

describe.runIf(CHROMIUM !== undefined)('the page in a browser', () => {
  let browser: Browser

  beforeAll(async () => {
    buildCommand()
    buildPage()
    browser = await openBrowser()
  })
  afterAll(() => browser?.close())

  test('opens from one file without a network, and draws', async () => {
    const folder = project('good')
    const { code, stdout } = cardwright(folder, ['view', '--export', 'good.html', '--no-types'])
    expect([code, stdout.split('\n').at(-2)]).toEqual([0, 'the page is in good.html'])
    const context = await browser.newContext({ offline: true })
    const asked: string[] = []
    context.on('request', (request) => asked.push(request.url()))
    const { page, complaints } = await openPage(context, `file://${join(folder, 'good.html')}`)
    await page.waitForSelector('canvas[data-drawn]', { state: 'attached' })
    expect(await page.title()).toBe('Tug')
    expect(complaints).toEqual([])
    expect(asked.filter((url) => !/^(file|blob|data):/.test(url))).toEqual([])
    await context.close()
  })
})
