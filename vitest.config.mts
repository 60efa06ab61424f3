import { defineConfig } from 'vitest/config'
import { fileURLToPath } from 'node:url'

export default defineConfig({
  resolve: { alias: { cardwright: fileURLToPath(new URL('./lib/index.ts', import.meta.url)) } },
  test: { include: ['tests/**/*.test.ts'], testTimeout: 180_000, hookTimeout: 300_000, reporters: ['default'] },
})
