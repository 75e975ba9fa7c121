-- What a person does in Neovim, without hands: opens a dump, points at an option, takes the first quick fix. What came
-- of it goes into the file named by REPORT, as JSON.
local report = {}

local function await(what, holds)
  if not vim.wait(20000, holds, 20) then error('waited in vain for ' .. what) end
end

local function wrong()
  local found = {}
  for _, diagnostic in ipairs(vim.diagnostic.get(0)) do table.insert(found, diagnostic) end
  table.sort(found, function(a, b) return a.lnum < b.lnum end)
  return found
end

local function floating()
  for _, window in ipairs(vim.api.nvim_list_wins()) do
    if vim.api.nvim_win_get_config(window).relative ~= '' then return window end
  end
end

local function work()
  await('diagnostics', function() return #wrong() > 0 end)
  report.diagnostics = {}
  for _, found in ipairs(wrong()) do
    table.insert(report.diagnostics, { line = found.lnum + 1, message = found.message })
  end

  vim.api.nvim_win_set_cursor(0, { 12, 10 })
  vim.lsp.buf.hover()
  await('a hover', floating)
  report.hover = table.concat(vim.api.nvim_buf_get_lines(vim.api.nvim_win_get_buf(floating()), 0, -1, false), '\n')
  vim.api.nvim_win_close(floating(), true)

  -- The menu of quick fixes: its first entry is taken.
  vim.ui.select = function(items, options, choose)
    report.actions = vim.tbl_map(options.format_item, items)
    choose(items[1], 1)
  end
  vim.api.nvim_win_set_cursor(0, { 27, 8 })
  vim.lsp.buf.code_action()
  await('the quick fix', function() return vim.bo.modified end)
  await('new diagnostics', function() return #wrong() == 1 end)
  report.after = vim.api.nvim_buf_get_lines(0, 24, 27, false)
end

local ok, failure = xpcall(work, debug.traceback)
if not ok then report.failure = failure end
local file = assert(io.open(os.getenv('REPORT'), 'w'))
file:write(vim.json.encode(report))
file:close()
vim.cmd('qall!')
