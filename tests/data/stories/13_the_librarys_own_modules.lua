-- A dead lamp and two prompts, of which one is not needed.
--! do: 20 lamp test
--! do: 30 local check XV-1001
--! do: 40 operate XV-1001 open
--! happens: 00:05.0 on dark XL-1001
--! happens: 01:00.1 told Has the lamp been reported?
--! happens: 01:00.1 noted Prompted at 60 s: Has the lamp been reported?
exercise { title = "Prompts", plant = "valve-bench", start = "cold", lasts = "5 min" }
local dark_lamp = require("lib.dark_lamp")
local prompts = require("lib.prompts")
local made = dark_lamp { lamp = "XL-1001", of = "XV-1001", at = "5 s", proved = 6, reported = 2 }
assert(made.fault == "dark XL-1001" and made.proved and made.reported)
prompts {
  { by = "50 s", unless = did("XV-1001", "open"), say = "The valve, please." },
  { by = "60 s", unless = did("report", "XL-1001"), say = "Has the lamp been reported?" },
}
