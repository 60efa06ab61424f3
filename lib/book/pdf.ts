import { openPdf } from '../sheet/pdfDocument'
import type { Book } from './book'
import { layOutBook, type PageSize } from './layout'

/** The book as a PDF: bookmarks a chapter, text that can be searched, no date, the same bytes for the same book. */
export function bookPdf(book: Book, size: PageSize): { readonly content: Uint8Array; readonly pages: number } {
  const { pages, bookmarks } = layOutBook(book, size)
  const pdf = openPdf({ title: book.title, subject: book.subject })
  for (const page of pages) pdf.addPage(page)
  return { content: pdf.end(bookmarks), pages: pages.length }
}
