declare module 'gltf-validator' {
  /** The Khronos validator, which comes without types: what is used of its report. */
  export function validateBytes(bytes: Uint8Array): Promise<{
    readonly issues: { readonly messages: readonly unknown[] }
    readonly info: { readonly totalTriangleCount: number }
  }>
}
