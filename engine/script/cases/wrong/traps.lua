-- Lua's silent traps, seen in the text.
--! expect: script::and-or at 17
--! hint: write any(
--! expect: script::and-or at 18
--! hint: write all(
--! expect: script::and-or at 19
--! hint: write not_(
--! expect: script::and-or at 21
--! expect: script::operator at 22
--! expect: script::always-true at 23
--! expect: script::repeated-key at 24
--! expect: script::power at 25
--! expect: script::loop at 26
-- That done then holds false is not told again.
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
local t = { 1 }
step "a" { marks = 1, done = lit("XL-3310") or lit("XL-2104") }
step "b" { marks = 1, done = shown("PT-3001"):above("4 barg") and lit("XL-2104") }
step "c" { marks = 1, done = not lit("XL-3310") }
local flame = lit("XL-3310")
step "d" { marks = 1, done = flame and dark("XL-2104") }
if actual("XV-2104") == "open" then print("never") end
if lit("XL-3310") then print("always") end
step "e" { marks = 1, marks = 2, done = lit("XL-3310") }
local x = 2 ^ 0.5
for k in t do print(k) end
-- These are fine: a default for what may be missing, a truth of Lua's own.
local given = parameters.done or lit("XL-3310")
local on = parameters.on and 1 or 2
