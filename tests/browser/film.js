// What a camera sees, for tests.
"use strict";

const fs = require("node:fs");

/** A film of tags as a camera sees them: turned, at an angle, on a bench. */
async function film(chrome, desk, codes, name) {
  const page = await chrome.newPage({ viewport: { width: 1280, height: 720 } });
  const frames = [];
  for (const [nth, code] of codes.entries()) {
    desk.run("tag", code, "--out", `tag-${nth}.png`);
    const tag = fs.readFileSync(desk.path(`tag-${nth}.png`)).toString("base64");
    for (let frame = 0; frame < 12; frame += 1) {
      await page.setContent(`<body style="margin:0;background:#5d6a60;perspective:1500px">
        <img src="data:image/png;base64,${tag}" style="position:absolute;left:430px;top:120px;width:330px;
        padding:14px;background:#fff;transform:rotateY(${20 + frame}deg) rotateZ(${frame * 2 - 14}deg)">`);
      frames.push(await page.screenshot({ type: "jpeg", quality: 80 }));
    }
  }
  await page.close();
  fs.writeFileSync(desk.path(name), Buffer.concat(frames));
  return desk.path(name);
}

/** A picture that a camera took, as a film. */
async function still(chrome, desk, picture, name) {
  const page = await chrome.newPage({ viewport: { width: 1280, height: 720 } });
  await page.setContent(`<body style="margin:0;background:#777"><img style="display:block;width:720px;margin:40px auto" src="data:image/png;base64,${fs.readFileSync(picture).toString("base64")}">`);
  const frame = await page.screenshot({ type: "jpeg", quality: 90 });
  await page.close();
  fs.writeFileSync(desk.path(name), Buffer.concat(Array(10).fill(frame)));
  return desk.path(name);
}

module.exports = { film, still };
