#include <algorithm>
#include <nlohmann/json.hpp>

#include "editor/lsp/connection.hpp"
#include "editor/lsp/server.hpp"
#include "editor/workspace.hpp"
#include "fuzzing.hpp"

namespace {

using Json = nlohmann::json;

/// A number that a message may bear, of the first bytes of a part.
std::uint32_t number_of(std::string_view part, std::size_t place) {
  return place < part.size() ? static_cast<unsigned char>(part[place]) % 64 : 0;
}

/// Text as JSON can carry it.
std::string valid(std::string_view text) {
  return Json::parse(Json(std::string(text)).dump(-1, ' ', false, Json::error_handler_t::replace))
      .get<std::string>();
}

/// A client with one file open.
class Client {
 public:
  Client() : server_([this](const std::string& body) { take(Json::parse(body)); }) {}

  void send(const Json& message) { server_.receive(message.dump()); }
  void send_raw(const std::string& body) { server_.receive(body); }
  void begin() {
    send({{"jsonrpc", "2.0"}, {"id", 0}, {"method", "initialize"}, {"params", Json::object()}});
  }
  void open(const std::string& text) {
    send({{"jsonrpc", "2.0"},
          {"method", "textDocument/didOpen"},
          {"params",
           {{"textDocument",
             {{"uri", uri}, {"languageId", "budwood"}, {"version", 1}, {"text", text}}}}}});
  }
  void change(int version, const Json& range, const std::string& text) {
    Json one = {{"text", text}};
    if (!range.is_null()) one["range"] = range;
    send({{"jsonrpc", "2.0"},
          {"method", "textDocument/didChange"},
          {"params",
           {{"textDocument", {{"uri", uri}, {"version", version}}},
            {"contentChanges", Json::array({one})}}}});
  }
  void finish() {
    while (server_.work()) {
    }
  }
  /// That were told last; null when none were.
  const Json& findings() const { return findings_; }

  static constexpr const char* uri = "file:///nowhere/fuzz.bud";

 private:
  void take(const Json& message) {
    budwood::fuzz::must(message.value("jsonrpc", "") == "2.0", "a message that is none");
    if (message.value("method", "") == "textDocument/publishDiagnostics") {
      findings_ = message["params"]["diagnostics"];
    }
  }

  Json findings_;
  budwood::editor::lsp::Server server_;
};

}  // namespace

/// Parts: a text, then by turns where it is changed (bytes: line, column, lines and columns
/// further) and what is written there; a part that begins with `{` is a message as it came. The
/// server must go on, and tell in the end what it tells of the text when that is opened afresh.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  const std::string input = fuzz::bytes_of(data, size);
  const std::string text = valid(fuzz::part_of(input, 0));
  Client client;
  client.begin();
  client.open(text);
  editor::Workspace edited;
  edited.open("/nowhere/fuzz.bud", text, 1);
  bool only_edits = true;
  for (std::size_t i = 1; i < 20 && !fuzz::part_of(input, i).empty(); ++i) {
    const std::string_view part = fuzz::part_of(input, i);
    if (part.front() == '{') {
      only_edits = false;
      client.send_raw(std::string(part));
      continue;
    }
    const editor::Position begin{number_of(part, 0), number_of(part, 1)};
    const editor::Position end{begin.line + number_of(part, 2) % 3, number_of(part, 3)};
    const std::string written = valid(part.substr(std::min<std::size_t>(part.size(), 4)));
    const auto version = static_cast<int>(i) + 1;
    client.change(version,
                  {{"start", {{"line", begin.line}, {"character", begin.character}}},
                   {"end", {{"line", end.line}, {"character", end.character}}}},
                  written);
    edited.change("/nowhere/fuzz.bud", {{editor::Range{begin, end}, written}}, version);
  }
  client.finish();
  Client fresh;
  fresh.begin();
  fresh.open(std::string(edited.document("/nowhere/fuzz.bud")->text()));
  fresh.finish();
  if (only_edits) {
    fuzz::must(client.findings() == fresh.findings(), "findings that depend on how one typed");
  }
  editor::lsp::MessageReader reader;
  for (const char byte : input) reader.add(std::string_view(&byte, 1));
  while (!reader.broken() && reader.next()) {
  }
  const Json& told = client.findings();
  fuzz::accepted = told.is_array() && std::none_of(told.begin(), told.end(), [](const Json& one) {
                     return one["severity"] == 1;
                   });
  return 0;
}
