import { Console } from 'node:console'

/** With `--json`, what an author's file logs goes where it does not spoil the document. */
export function keepStdoutClean(): void {
  globalThis.console = new Console(process.stderr, process.stderr)
}
