--! expect: script::operator at 10
--! hint: set_to
--! expect: script::operator at 11
--! hint: :above
--! expect: script::operator at 12
--! expect: script::operator at 13
--! expect: script::colon at 14
--! expect: script::overwrite at 15
exercise { title = "T", plant = "demo", start = "cold", lasts = "10 min" }
if lit("XL-3310") == lit("XL-2104") then print("never") end
if shown("PT-3001") > shown("PT-3002") then print("never") end
local x = lit("XL-3310") + lit("XL-2104")
local y = "x" .. lit("XL-3310")
step "a" { marks = 1, done = shown("PT-3001").above("4 barg") }
step = 5
