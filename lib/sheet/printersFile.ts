/** Where a project keeps what its printers were measured to do, below its root. */
export const PRINTERS_FILE = 'printers.json'
