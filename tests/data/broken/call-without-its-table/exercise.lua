exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "purge" -- finds: script::no-table
local function later()
  return 1
end
step "flame" { marks = later(), done = lit("BL-2001") }
