-- A lamp that is dead, with the marks for finding it out:
--
--   local dark_lamp = require("lib.dark_lamp")
--   dark_lamp { lamp = "XL-2101", of = "XV-2101", proved = 6, reported = 2 }
--
-- `lamp` is the lamp, `of` the equipment that it speaks of. The lamp is dead from `at` on (left out: from the
-- start). `proved` are the marks for a lamp test and a look on the spot `within` six minutes of it (or the time
-- you give); `reported` those for a report of the lamp; either may be left out.
-- Returns the names of what it made: `fault`, `proved`, `reported`.
local function dark_lamp(given)
  local lamp, of = given.lamp, given.of
  if type(lamp) ~= "string" or type(of) ~= "string" then
    error("dark_lamp needs the tags of the lamp and of the equipment it speaks of: lamp = \"XL-2101\", of = \"XV-2101\"", 2)
  end
  local within = given.within or "6 min"
  local made = { fault = "dark " .. lamp }
  fault(made.fault) { on = lamp, kind = "dark", at = given.at or "0 s" }
  if given.proved then
    made.proved = lamp .. " proved"
    step(made.proved) {
      marks = given.proved,
      done = did("lamp test"):followed_within(within, did("local check", of)),
      expected = ("The lamp %s stays dark in a lamp test, and %s is then looked at on the spot within %s."):format(lamp, of, within),
      practise = "A dark lamp: lamp test first; if it is the lamp, have the equipment looked at before anything relies on it.",
    }
  end
  if given.reported then
    made.reported = lamp .. " reported"
    step(made.reported) {
      marks = given.reported,
      done = did("report", lamp),
      expected = ("The dead lamp %s is reported."):format(lamp),
      practise = "Reporting: which piece of equipment, and what is wrong with it.",
    }
  end
  return made
end

return dark_lamp
