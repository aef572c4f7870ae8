/// Private to this module. The forms of the protocol's messages, to and from those of the editor.
#pragma once

#include <nlohmann/json.hpp>

#include "editor/completion.hpp"
#include "editor/lens.hpp"
#include "editor/mends.hpp"
#include "editor/outline.hpp"
#include "editor/pointing.hpp"

namespace budwood::editor::lsp {

using Json = nlohmann::json;

/// "file:///books/a%20b.bud" of a path, and back; nothing for other addresses.
std::string uri_of(const std::filesystem::path& path);
std::optional<std::filesystem::path> path_of(const std::string& uri);

Json json_of(Position position);
Json json_of(const Range& range);
Json json_of(const Location& location);
Json json_of(const Finding& finding);
Json json_of(const Completion& completion);
Json json_of(const OutlineLine& line);
Json json_of(const Fold& fold);
Json json_of(const Lens& lens);
Json json_of(const Mend& mend);
/// `changes`, by file.
Json workspace_edit(const std::vector<FileEdit>& edits);
/// Five numbers a word, each place counted from the one before.
Json tokens_json(const std::vector<Coloured>& words);
/// What the numbers of colours and of `declares` mean.
Json tokens_legend();

/// Throw `Json::exception` where a message has another form.
Position position_in(const Json& json);
Range range_in(const Json& json);
std::vector<Change> changes_in(const Json& json);

}  // namespace budwood::editor::lsp
