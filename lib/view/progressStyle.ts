/** A card modeller's bench: ruled paper with a red margin by day, the cutting mat by night. */
export const PROGRESS_STYLE = `
:root { color-scheme: light dark; --paper: #faf6ea; --ink: #2c2a25; --soft: #69655a; --rule: #c8d3d1; --margin: #c2574a;
  --cut: #1c5c88; --glued: #8a6100; --anew: #b23a2e }
@media (prefers-color-scheme: dark) {
  :root { --paper: #1f2c27; --ink: #ece8d9; --soft: #a9b3a6; --rule: #3b5147; --margin: #d8776b;
    --cut: #8cc4e8; --glued: #e6bf6a; --anew: #f09a8d }
}
* { box-sizing: border-box }
body { margin: 0; background: var(--paper); color: var(--ink);
  font: 15px/1.5 system-ui, 'Segoe UI', 'Liberation Sans', Arial, sans-serif }
main { max-width: 820px; margin: 0 auto; padding: 20px 24px 40px; border-left: 2px solid var(--margin) }
h1, h2 { font-family: 'Iowan Old Style', Palatino, 'URW Palladio L', Georgia, serif; line-height: 1.2; font-weight: 600 }
h1 { font-size: 28px; margin: 0 0 12px } h1 span { color: var(--soft); font-weight: 400; font-size: 20px }
h2 { font-size: 19px; margin: 28px 0 6px }
dl { display: grid; grid-template-columns: repeat(auto-fit, minmax(150px, 1fr)); gap: 4px 20px; margin: 0 0 18px }
dt { color: var(--soft) } dd { margin: 0; font-size: 24px; font-variant-numeric: tabular-nums }
small { font-size: 15px; color: var(--soft) }
figure { margin: 0 0 8px } svg { display: block; width: 100%; height: auto; font-size: 12px }
svg text { fill: var(--ink) } .tick { fill: var(--soft); font-variant-numeric: tabular-nums }
svg .title { font-weight: 600 } .name { font-variant-numeric: tabular-nums }
.grid { stroke: var(--rule) } .date { stroke: var(--rule); stroke-dasharray: 1 3 }
path { fill: none; stroke-width: 2; stroke-linejoin: round }
.hours { stroke: var(--ink) } .cut { stroke: var(--cut) } .glued { stroke: var(--glued); stroke-dasharray: 7 3 }
svg .cut-name { fill: var(--cut) } svg .glued-name { fill: var(--glued) }
.needed { stroke: var(--margin); stroke-dasharray: 2 4; stroke-width: 1.5 }
.wide { overflow-x: auto } .wide:focus-visible { outline: 2px solid var(--cut) }
table { border-collapse: collapse; width: 100%; white-space: nowrap }
th, td { text-align: left; padding: 3px 12px 3px 0; border-bottom: 1px solid var(--rule); font-weight: 400 }
thead th { color: var(--soft); font-size: 13px }
.figure { text-align: right; font-variant-numeric: tabular-nums }
tbody tr:last-child > * { border-bottom-color: var(--soft) }
strong { color: var(--anew); font-weight: 600 }
meter { width: 90px; height: 10px; vertical-align: middle }
p { color: var(--soft); margin: 6px 0 }
@media (max-width: 520px) { main { padding: 14px 14px 32px } }
`
