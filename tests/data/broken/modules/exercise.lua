exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local flame = require("parts.flame")
local level = require("parts.levl") -- finds: script::unknown-module
step "flame" { marks = 4, done = flame }
step "level" { marks = 4, done = level.kept }
