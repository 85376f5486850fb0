// The look of the tablet's screens, for a desk: colours, marks and keys are those of assets/theme/tokens.json (day).
#include <platform/shop/site.h>

namespace chockside::shop {

std::string_view page_style()
{
    return R"css(
:root{--ground:#E4E8EA;--panel:#FFF;--ink:#12171A;--ink2:#38424A;--edge:#55616A;--record:#27307F;--good:#00573F;--amber:#F0A400;--stop:#A8001C}
*{box-sizing:border-box}
body{margin:0;background:var(--ground);color:var(--ink);font:500 16px/1.4 Inter,system-ui,sans-serif}
.n,code{font-family:B612,Inter,system-ui,sans-serif;font-variant-numeric:tabular-nums}code{font-family:"B612 Mono",monospace;font-size:14px}
.skip{position:absolute;left:-999px}.skip:focus{left:8px;top:8px;background:var(--panel);padding:8px;z-index:2}
.hidden{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
header{display:flex;align-items:stretch;border-bottom:3px solid var(--ink);min-height:62px}
.brand{background:var(--ink);color:#fff;font-weight:700;font-size:22px;padding:14px 20px;display:flex;gap:14px;align-items:center}
.framed{border:2px solid currentColor;padding:0 6px;font-size:14px;font-weight:700}.framed.small{font-size:12px;border-width:1px}
nav{display:flex;flex-wrap:wrap}nav a{padding:18px 17px;color:var(--ink);text-decoration:none;font-weight:700;border-right:2px solid var(--edge)}
nav a.here{background:var(--panel);box-shadow:inset 0 -6px 0 var(--ink)}
.who{margin-left:auto;padding:18px 14px;font-weight:700;white-space:nowrap;overflow:hidden;text-overflow:ellipsis;min-width:0}.out button,.clock{white-space:nowrap}@media(min-width:1100px){nav{flex:none}}.out{padding:10px 4px;margin-left:auto}.who+.out{margin-left:0}.clock{border-left:2px solid var(--edge);padding:14px 22px;font-weight:700;font-size:18px}.clock .n{font-size:24px}
.slashes{height:6px;background:repeating-linear-gradient(115deg,var(--ink) 0 2px,transparent 2px 12px)}
main{padding:24px 32px;max-width:1400px;margin:auto;outline:0}h1{font-size:28px;letter-spacing:-.012em;margin:6px 0 18px;overflow-wrap:anywhere}h2,h3,li,p,label{overflow-wrap:anywhere}h2{font-size:18px;margin:18px 0 8px}
a{color:var(--ink);font-weight:700}.about,small,.by{color:var(--ink2)}small{font-size:14px}
table{border-collapse:collapse;width:100%;background:var(--panel)}th{text-align:left;background:var(--ground);color:var(--ink2);font-size:15px;padding:10px 14px;border-bottom:3px solid var(--ink)}
td{padding:14px;border-bottom:2px solid var(--edge);overflow-wrap:anywhere;vertical-align:middle}td.n,td code{white-space:nowrap}.right{text-align:right}.tail{font-weight:700;font-size:18px;white-space:nowrap}.scroll{overflow-x:auto}
svg{fill:var(--ink)}.mark{vertical-align:-6px;margin-right:8px}.good{fill:var(--good)}.tick{fill:none;stroke:#fff;stroke-width:3}.hollow{fill:var(--panel);stroke:var(--ink);stroke-width:2.2}
.pen{fill:none;stroke:var(--ink);stroke-width:2.4}.thin{fill:none;stroke:var(--edge);stroke-width:2}.ring{fill:none;stroke:var(--ink);stroke-width:4.6}.dashed{fill:none;stroke:var(--ink);stroke-width:2.6;stroke-dasharray:4.2 3.34}
.amber{fill:var(--amber);stroke:var(--ink);stroke-width:1.6}.solid{fill:var(--ink)}.empty{fill:none;stroke:var(--ink);stroke-width:2}.lever{stroke:var(--ink);stroke-width:4}.rail{width:196px;height:34px}.rail.wide{width:100%;height:auto;min-width:560px}
.name{font-size:16px;font-weight:700}.mid{text-anchor:middle}.end{text-anchor:end}.small{font-size:12px}.big{font-size:26px;font-weight:700}.strong{font-weight:800}
.whisker{stroke:var(--ink);stroke-width:3}.intervals{width:100%;max-width:520px;height:auto}.halo{paint-order:stroke;stroke:var(--panel);stroke-width:5}h3{font-size:16px;margin:10px 0 6px}.bench label{align-self:center}.harness,.swing,.lifeline{width:100%;height:auto}.wire{stroke:var(--ink);stroke-width:4}.boxed{fill:var(--panel);stroke:var(--ink);stroke-width:2.4}.axis{stroke:var(--edge)}.limit{stroke:var(--ink);stroke-width:3}
.band{fill:#D2D9DC;stroke:var(--edge)}.curve{fill:none;stroke:var(--ink);stroke-width:3}.point{fill:var(--panel);stroke:var(--ink);stroke-width:3}.point.out{fill:var(--amber)}.paper{background:var(--panel);border:2px solid var(--edge);padding:8px 18px;margin-bottom:14px}
.two{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1.1fr);gap:32px}.thread{list-style:none;margin:0 0 0 9px;padding:0;border-left:4px solid var(--ink)}.thread li{position:relative;padding:4px 8px 4px 24px;overflow-wrap:anywhere}
.thread li::before{content:"";position:absolute;left:-10px;top:8px;width:16px;height:16px;background:var(--ink)}.thread small{display:block}.gone{text-decoration:line-through}
.key{display:inline-block;font:700 16px/1.2 Inter,system-ui,sans-serif;background:var(--panel);color:var(--ink);border:2px solid var(--ink);border-bottom-width:6px;border-radius:6px;padding:11px 16px;text-decoration:none;cursor:pointer}
.key:active{border-bottom-width:2px;transform:translateY(4px)}.key.write{background:var(--record);color:#fff}.plain{background:none;border:0;font:inherit;text-decoration:underline;cursor:pointer;padding:10px;color:var(--ink)}
:focus-visible{outline:3px solid var(--ink);outline-offset:3px}input,select,textarea{font:inherit;border:2px solid var(--edge);padding:10px 14px;background:var(--panel);color:var(--ink);max-width:100%}
.tools{display:flex;gap:10px;flex-wrap:wrap;align-items:center;margin-bottom:14px}.tools input{flex:1 1 240px}.narrow{display:grid;gap:8px;max-width:520px}.narrow.wide{max-width:900px}.inline{display:inline-flex;gap:8px;flex-wrap:wrap;align-items:center;margin-left:12px}
.reply{display:flex;gap:10px;margin-top:24px}.reply input{flex:1}.problem{background:#FFF3D6;border-left:8px solid var(--amber);padding:10px 14px}.files{list-style:none;padding:0}.files li{border-bottom:2px solid var(--edge);padding:8px 0}
.life{border-bottom:2px solid var(--edge)}.life ul{list-style:none;padding:0}.life li{padding:2px 0}.qr{width:min(100%,420px);height:auto}.qr .paper{fill:#fff;stroke:none}.long{overflow-wrap:anywhere}footer{padding:18px 32px;color:var(--ink2);font-size:14px}
@media(max-width:760px){header{flex-wrap:wrap}main{padding:14px}.two{grid-template-columns:minmax(0,1fr)}.who{display:none}nav a{padding:13px 11px}.brand{padding:10px 14px}table:not(.card),tbody,tr,td{display:block}table:not(.card) thead{display:none}
tr{border-bottom:3px solid var(--ink)}td,td.right{border:0;padding:4px 12px;text-align:left}td::before{content:attr(data-label);display:inline-block;min-width:96px;margin-right:8px;color:var(--ink2);font-size:14px}.rail.wide .name{display:none}.card tr{display:table-row}.card td{display:table-cell}.reply{flex-wrap:wrap}.rail.wide{min-width:0}h1{font-size:22px}}
@media print{header nav,.who,.out,.clock,.tools,.reply,.skip,footer form{display:none}body{background:#fff;font-size:11pt}.report>*{display:block}table{page-break-inside:auto}tr{page-break-inside:avoid}}
@media(prefers-reduced-motion:reduce){.key:active{transform:none}}
)css";
}

std::string_view page_script()
{
    return R"js("use strict";
// The clock, and a form that is sent once. Everything works without.
const clock = document.getElementById("clock");
const tick = () => { if (clock) clock.textContent = new Date().toISOString().slice(11, 16); };
setInterval(tick, 10000);
addEventListener("submit", (event) => {
  if (event.target.dataset.sent) event.preventDefault();
  event.target.dataset.sent = "yes";
});
addEventListener("pageshow", () => document.querySelectorAll("form").forEach((form) => delete form.dataset.sent));
addEventListener("beforeprint", () => document.querySelectorAll("details").forEach((d) => { d.open = true; }));
)js";
}

} // namespace chockside::shop
