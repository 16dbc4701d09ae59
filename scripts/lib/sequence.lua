-- Steps that follow each other, without writing `after` on each:
--
--   local sequence = require("lib.sequence")
--   sequence {
--     { "purge", marks = 6, done = actual("FT-2001"):above("12 kg/s"):lasting("60 s") },
--     { "flame", marks = 4, done = lit("BL-2001") },
--   }
--
-- A step that has an `after` of its own keeps it.
---@param steps table[] Each with its name before its fields.
local function sequence(steps)
  local before
  for _, fields in ipairs(steps) do
    local name = fields[1]
    local given = {}
    for key, value in pairs(fields) do
      if key ~= 1 then given[key] = value end
    end
    if given.after == nil then given.after = before end
    step(name)(given --[[@as StepFields]])
    before = name
  end
end

return sequence
