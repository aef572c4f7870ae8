// The server between messages: answers, refusals, cancelling, rubbish.

#include <nlohmann/json.hpp>
#include <random>

#include "editor/lsp/connection.hpp"
#include "editor/lsp/server.hpp"
#include "folder.hpp"

using budwood::editor::lsp::framed;
using budwood::editor::lsp::MessageReader;
using budwood::editor::lsp::Server;
using Json = nlohmann::json;

namespace {

constexpr const char* opened =
    "protocol x \"X\" {\n  part p\n  stage s of p {\n    lasts 3 day\n  }\n}\n";

class Talk {
 public:
  Talk() : server([this](const std::string& body) { said.push_back(Json::parse(body)); }) {}

  void ask(int id, const std::string& method, const Json& params) {
    server.receive(
        Json{{"jsonrpc", "2.0"}, {"id", id}, {"method", method}, {"params", params}}.dump());
  }
  void tell(const std::string& method, const Json& params) {
    server.receive(Json{{"jsonrpc", "2.0"}, {"method", method}, {"params", params}}.dump());
  }
  void begin() {
    ask(0, "initialize",
        {{"processId", nullptr}, {"rootUri", nullptr}, {"capabilities", Json::object()}});
    tell("initialized", Json::object());
    finish();
  }
  void open(const std::string& content) {
    tell("textDocument/didOpen",
         {{"textDocument",
           {{"uri", uri}, {"languageId", "budwood"}, {"version", 1}, {"text", content}}}});
  }
  void change(int version, const Json& changes) {
    tell("textDocument/didChange",
         {{"textDocument", {{"uri", uri}, {"version", version}}}, {"contentChanges", changes}});
  }
  void finish() {
    while (server.work()) {
    }
  }
  /// The answer to a request.
  Json answer(int id) const {
    for (const Json& one : said) {
      if (one.contains("id") && one["id"] == id && !one.contains("method")) return one;
    }
    return nullptr;
  }
  /// The findings that were told last.
  Json findings() const {
    Json out;
    for (const Json& one : said) {
      if (one.value("method", "") == "textDocument/publishDiagnostics") out = one["params"];
    }
    return out;
  }
  Json here(int line, int character) const {
    return {{"textDocument", {{"uri", uri}}},
            {"position", {{"line", line}, {"character", character}}}};
  }

  Folder folder;
  std::string uri = "file://" + folder.path().string() + "/test.bud";
  std::vector<Json> said;
  Server server;
};

}  // namespace

TEST_CASE("a session from beginning to end") {
  Talk talk;
  talk.begin();
  CHECK(talk.answer(0)["result"]["capabilities"]["hoverProvider"] == true);
  talk.open(opened);
  talk.finish();
  CHECK(talk.findings()["version"] == 1);
  talk.change(2, Json::array({{{"range",
                                {{"start", {{"line", 3}, {"character", 4}}},
                                 {"end", {{"line", 3}, {"character", 9}}}}},
                               {"text", "lasst"}}}));
  talk.finish();
  CHECK(talk.findings()["version"] == 2);
  REQUIRE_FALSE(talk.findings()["diagnostics"].empty());
  CHECK(talk.findings()["diagnostics"][0]["code"] == "unknown-statement");
  talk.ask(1, "textDocument/completion", talk.here(3, 4));
  talk.ask(2, "textDocument/hover", talk.here(2, 3));
  talk.ask(3, "textDocument/documentSymbol", talk.here(0, 0));
  talk.ask(4, "textDocument/semanticTokens/full", talk.here(0, 0));
  talk.ask(5, "shutdown", nullptr);
  talk.finish();
  CHECK(talk.answer(1)["result"]["items"].size() > 5);
  CHECK(talk.answer(2)["result"].contains("contents"));
  CHECK(talk.answer(3)["result"].size() == 1);
  CHECK(talk.answer(4)["result"]["data"].size() % 5 == 0);
  CHECK(talk.answer(5)["result"].is_null());
  talk.tell("exit", Json::object());
  talk.finish();
  CHECK(talk.server.over());
  CHECK(talk.server.status() == 0);
}

TEST_CASE("what cannot be answered is refused") {
  Talk talk;
  talk.ask(1, "textDocument/hover", talk.here(0, 0));
  talk.finish();
  CHECK(talk.answer(1)["error"]["code"] == -32002);
  talk.begin();
  talk.ask(2, "textDocument/brew", talk.here(0, 0));
  talk.ask(3, "textDocument/hover", {{"textDocument", 7}});
  talk.ask(4, "textDocument/hover", talk.here(0, 0));
  talk.open(opened);
  talk.ask(5, "textDocument/rename",
           {{"textDocument", {{"uri", talk.uri}}},
            {"position", {{"line", 1}, {"character", 7}}},
            {"newName", "until"}});
  talk.server.receive("{ no json");
  talk.server.receive("[1, 2]");
  talk.finish();
  CHECK(talk.answer(2)["error"]["code"] == -32601);
  CHECK(talk.answer(3)["error"]["code"] == -32602);
  CHECK(talk.answer(4)["error"]["code"] == -32803);
  CHECK(talk.answer(5)["error"]["code"] == -32803);
  CHECK(talk.said.back()["method"] == "textDocument/publishDiagnostics");
}

TEST_CASE("what was cancelled or is outdated is not worked out") {
  Talk talk;
  talk.begin();
  talk.open(opened);
  talk.ask(1, "textDocument/hover", talk.here(2, 3));
  talk.tell("$/cancelRequest", {{"id", 1}});
  talk.ask(2, "textDocument/codeLens", talk.here(0, 0));
  talk.change(2, Json::array({{{"text", opened}}}));
  talk.change(3, Json::array({{{"text", opened}}}));
  talk.finish();
  CHECK(talk.answer(1)["error"]["code"] == -32800);
  CHECK(talk.answer(2)["error"]["code"] == -32801);
  int told = 0;
  for (const Json& one : talk.said) {
    told += one.value("method", "") == "textDocument/publishDiagnostics" ? 1 : 0;
  }
  CHECK(told == 1);
  CHECK(talk.findings()["version"] == 3);
}

TEST_CASE("messages come in pieces, with headers of all kinds") {
  const std::string stream = framed("{}") + "Content-Type: x\r\ncontent-length: 3\r\n\r\nabc" +
                             "Rubbish\r\n\r\n" + framed("end");
  for (std::size_t piece = 1; piece < 9; ++piece) {
    MessageReader reader;
    std::vector<std::string> got;
    for (std::size_t i = 0; i < stream.size(); i += piece) {
      reader.add(std::string_view(stream).substr(i, piece));
      while (auto one = reader.next()) got.push_back(*one);
    }
    CHECK(got == std::vector<std::string>{"{}", "abc", "end"});
  }
  MessageReader reader;
  reader.add("Content-Length: 99999999999\r\n\r\n");
  CHECK_FALSE(reader.next());
  CHECK(reader.broken());
}

TEST_CASE("rubbish of all kinds neither stops nor breaks it") {
  Talk talk;
  talk.begin();
  talk.open(opened);
  std::mt19937 chance(24);
  const std::vector<std::string> methods{"textDocument/hover",
                                         "textDocument/completion",
                                         "textDocument/rename",
                                         "textDocument/references",
                                         "textDocument/definition",
                                         "textDocument/codeAction",
                                         "textDocument/codeLens",
                                         "textDocument/foldingRange",
                                         "textDocument/formatting",
                                         "textDocument/didChange",
                                         "textDocument/didOpen",
                                         "textDocument/didClose",
                                         "workspace/didChangeWatchedFiles",
                                         "initialize",
                                         "$/cancelRequest",
                                         ""};
  const auto any = [&](auto& self, int depth) -> Json {
    switch (chance() % (depth > 3 ? 5 : 7)) {
      case 0:
        return nullptr;
      case 1:
        return static_cast<int>(chance() % 100) - 20;
      case 2:
        return talk.uri;
      case 3:
        return "\xF0\x9F\x8C\xB1";
      case 4:
        return true;
      case 5:
        return Json::array({self(self, depth + 1), self(self, depth + 1)});
      default: {
        Json out = talk.here(static_cast<int>(chance() % 9), static_cast<int>(chance() % 40));
        const std::vector<std::string> keys{
            "range", "position", "textDocument", "newName", "context", "contentChanges", "id"};
        out[keys[chance() % keys.size()]] = self(self, depth + 1);
        return out;
      }
    }
  };
  for (int i = 0; i < 3000; ++i) {
    const std::string& method = methods[chance() % methods.size()];
    const Json params = any(any, 0);
    if (chance() % 2 == 0) {
      talk.ask(i + 100, method, params);
    } else {
      talk.tell(method, params);
    }
    if (chance() % 20 == 0) talk.finish();
  }
  talk.open(opened);
  talk.ask(99999, "textDocument/foldingRange", talk.here(0, 0));
  talk.finish();
  CHECK(talk.answer(99999)["result"].size() == 2);
}
