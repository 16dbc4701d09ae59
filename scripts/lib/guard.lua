-- Runs once in a fresh state, before anything else, and returns the only names that a script gets.
-- What it does not name does not exist for a script: no files, no loading of code, no metatables.
-- `host` holds functions of the program: they count work and decide what goes too far.
local host = ...

local raw_pcall, raw_xpcall, raw_error, raw_type, raw_select = pcall, xpcall, error, type, select
local raw_tostring, raw_tonumber, raw_next, raw_ipairs = tostring, tonumber, next, ipairs
local raw_resume, raw_wrap, raw_yield, raw_running = coroutine.resume, coroutine.wrap, coroutine.yield, coroutine.running
local freeze, sort, concat, insert, remove, unpack, pack = table.freeze, table.sort, table.concat, table.insert, table.remove, table.unpack, table.pack
local find, gsub, gmatch, match, rep, format = string.find, string.gsub, string.gmatch, string.match, string.rep, string.format

-- Nothing that fails because of a limit may be swallowed.
local function judged(ok, ...)
  if not ok then host.swallowed((...)) end
  return ok, ...
end

local function guarded_pcall(f, ...)
  return judged(raw_pcall(f, ...))
end

local function guarded_xpcall(f, handler, ...)
  return judged(raw_xpcall(f, function(problem)
    host.swallowed(problem)
    return handler(problem)
  end, ...))
end

-- Addresses differ from run to run, so they are never told.
local function tell(value)
  local kind = raw_type(value)
  if kind == "table" or kind == "function" or kind == "thread" then return kind end
  return raw_tostring(value)
end

-- Keys in a fixed order: numbers upwards, then texts by their letters, then false and true.
local rank = { number = 1, string = 2, boolean = 3 }
local function earlier(a, b)
  local ra, rb = rank[raw_type(a)], rank[raw_type(b)]
  if ra ~= rb then return ra < rb end
  if ra == 3 then return not a and b end
  return a < b
end

local function ordered_pairs(t)
  if raw_type(t) ~= "table" then raw_error("pairs needs a table, and got " .. raw_type(t), 2) end
  local keys, n = {}, 0
  for key in raw_next, t do
    if not rank[raw_type(key)] then
      raw_error("this table has a " .. raw_type(key) .. " as a key, and such keys have no fixed order", 2)
    end
    n = n + 1
    keys[n] = key
  end
  host.charge(n)
  sort(keys, earlier)
  local i = 0
  return function()
    while i < n do
      i = i + 1
      local value = t[keys[i]]
      if value ~= nil then return keys[i], value end
    end
  end
end

-- Text functions take and make texts up to a size, and pay for it.
local function sized(f)
  return function(s, ...)
    if raw_type(s) == "string" then host.size(#s) end
    return f(s, ...)
  end
end

for _, name in raw_ipairs({ "byte", "lower", "upper", "reverse", "sub", "len" }) do
  string[name] = sized(string[name])
end

function string.rep(s, n, sep)
  host.size((#s + (sep and #sep or 0)) * (raw_tonumber(n) or 0))
  return rep(s, n, sep)
end

function string.find(s, pattern, init, plain)
  host.size(#s)
  host.size(#pattern)
  if plain or not find(pattern, "[%^%$%*%+%?%.%(%)%[%]%%%-]") then
    return host.find(s, pattern, init or 1)
  end
  return find(s, pattern, init)
end

function string.match(s, pattern, init)
  host.size(#s)
  host.size(#pattern)
  return match(s, pattern, init)
end

function string.gmatch(s, pattern)
  host.size(#s)
  host.size(#pattern)
  return gmatch(s, pattern)
end

function string.gsub(s, pattern, by, n)
  host.size(#s)
  host.size(#pattern)
  return gsub(s, pattern, by, n)
end

function string.format(shape, ...)
  host.size(#shape)
  local given = pack(...)
  for i = 1, given.n do
    local kind = raw_type(given[i])
    if kind == "string" then
      host.size(#given[i])
    elseif kind ~= "number" and kind ~= "boolean" and kind ~= "nil" then
      given[i] = tell(given[i])
    end
  end
  return format(shape, unpack(given, 1, given.n))
end

for _, name in raw_ipairs({ "pack", "unpack", "packsize", "split", "char" }) do
  if name ~= "char" then string[name] = nil end
end

local lists = freeze({
  insert = function(t, ...)
    if raw_select("#", ...) > 1 then host.charge(#t // 8) end
    return insert(t, ...)
  end,
  remove = function(t, at)
    if at then host.charge(#t // 8) end
    return remove(t, at)
  end,
  concat = function(t, sep, from, to)
    host.charge(#t)
    local made = concat(t, sep, from, to)
    host.size(#made)
    return made
  end,
  sort = function(t, before)
    host.sortable(#t)
    sort(t, before)
  end,
  unpack = unpack,
  pack = pack,
})

local maths = freeze({
  abs = math.abs, ceil = math.ceil, floor = math.floor, max = math.max, min = math.min,
  fmod = math.fmod, modf = math.modf, huge = math.huge, pi = math.pi, deg = math.deg, rad = math.rad,
  sqrt = math.sqrt,
  exp = host.exp, log = host.log, log10 = host.log10, pow = host.pow,
  sin = host.sin, cos = host.cos, tan = host.tan, asin = host.asin, acos = host.acos, atan = host.atan,
  random = host.random,
})

local threads = freeze({
  create = coroutine.create, status = coroutine.status, running = raw_running, yield = raw_yield,
  isyieldable = coroutine.isyieldable,
  resume = function(...) return judged(raw_resume(...)) end,
  wrap = raw_wrap,
})

local function print(...)
  local given = pack(...)
  for i = 1, given.n do given[i] = tell(given[i]) end
  host.print(concat(given, " "))
end

-- The run of a story: each method is checked by the program where it is called, then the story
-- stops until the program answers.
local story_thread
local methods = {}
local function asks(name, check)
  methods[name] = function(...)
    if not check(...) then return end
    if raw_running() ~= story_thread then
      raw_error("run:" .. name .. " works only in the story itself, not in a coroutine of the script", 2)
    end
    return raw_yield("run")
  end
end

return {
  names = {
    assert = assert, error = raw_error, ipairs = raw_ipairs, pairs = ordered_pairs,
    pcall = guarded_pcall, xpcall = guarded_xpcall, print = print, select = raw_select,
    tonumber = raw_tonumber, tostring = tell, type = raw_type,
    math = maths, string = string, table = lists, coroutine = threads,
  },
  asks = asks,
  methods = methods,
  enter = function(thread) story_thread = thread end,
}
