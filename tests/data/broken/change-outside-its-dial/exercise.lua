exercise {
  title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min",
  changes = {
    ["LCV-3002"] = "120 % open", -- finds: script::range
    ["P-3001"] = "on", -- finds: script::unknown-word
    ["P-3009"] = "start", -- finds: script::unknown-control
  },
}
step "flame" { marks = 4, done = lit("BL-2001") }
