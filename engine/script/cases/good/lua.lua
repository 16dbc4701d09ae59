-- Plain Lua works: loops, functions, tables, texts, modules of the library.
exercise { title = "Loops", plant = "demo", start = "cold", lasts = "10 min" }
local sequence = require("lib.sequence")
sequence {
  { "one", marks = 1, done = lit("XL-3310") },
  { "two", marks = 1, done = did("P-3101", "start") },
}
step "three" { marks = 1, done = did("P-3101", "start"):after(done("one")), after = { "one", "two" } }
for i, tag in ipairs({ "P-3101", "P-3102" }) do
  step("pump " .. i) { marks = i, done = did(tag, "start"):times(2), expected = ("%s twice"):format(tag) }
end
local names = {}
for name in ("a,b,c"):gmatch("%a") do table.insert(names, name) end
table.sort(names, function(a, b) return a > b end)
assert(table.concat(names, "-") == "c-b-a")
assert(("x"):rep(3) == "xxx" and ("a.b"):find(".", 1, true) == 2)
local ok = pcall(function() error("mine") end)
assert(not ok)
local c = coroutine.wrap(function() coroutine.yield(1) coroutine.yield(2) end)
assert(c() == 1 and c() == 2)
assert(#tostring(any(lit("XL-3310"), dark("XL-2104"))) > 10)
