#include "editor/lsp/server.hpp"

#include <algorithm>
#include <deque>
#include <set>

#include "editor/lsp/answers.hpp"

namespace budwood::editor::lsp {

namespace fs = std::filesystem;

namespace {

/// What costs most and is asked for anew after each keystroke.
bool is_outdated_by_change(const std::string& method) {
  return method == "textDocument/codeLens" || method == "textDocument/semanticTokens/full";
}

std::string uri_in(const Json& message) {
  const Json* at = &message;
  for (const char* key : {"params", "textDocument", "uri"}) {
    if (!at->is_object() || !at->contains(key)) return {};
    at = &at->at(key);
  }
  return at->is_string() ? at->get<std::string>() : "";
}

std::string method_in(const Json& message) {
  const auto found = message.find("method");
  return found != message.end() && found->is_string() ? found->get<std::string>() : "";
}

}  // namespace

class Server::Inside {
 public:
  explicit Inside(Send send) : send_(std::move(send)) {}

  void receive(const std::string& body) {
    Json message = Json::parse(body, nullptr, false);
    if (message.is_discarded()) {
      refuse(nullptr, {parse_error, "This is no JSON."});
      return;
    }
    if (!message.is_object()) {
      refuse(nullptr, {invalid_request, "A message is an object."});
      return;
    }
    if (method_in(message) == "$/cancelRequest") {
      const Json params = message.value("params", Json::object());
      if (params.is_object() && params.contains("id")) cancelled_.insert(params.at("id").dump());
      return;
    }
    queue_.push_back(std::move(message));
  }

  bool work() {
    if (!queue_.empty()) {
      const Json message = std::move(queue_.front());
      queue_.pop_front();
      handle(message);
      if (queue_.empty()) cancelled_.clear();
      return true;
    }
    if (stale_.empty()) return false;
    const fs::path path = stale_.front();
    stale_.pop_front();
    publish(path);
    return true;
  }

  bool over() const { return over_; }
  int status() const { return shut_down_ ? 0 : 1; }

 private:
  void send(const Json& message) {
    send_(message.dump(-1, ' ', false, Json::error_handler_t::replace));
  }
  void reply(const Json& id, Json result) {
    send({{"jsonrpc", "2.0"}, {"id", id}, {"result", std::move(result)}});
  }
  void refuse(const Json& id, const Refusal& why) {
    send({{"jsonrpc", "2.0"},
          {"id", id},
          {"error", {{"code", why.code}, {"message", why.message}}}});
  }
  void notify(const std::string& method, Json params) {
    send({{"jsonrpc", "2.0"}, {"method", method}, {"params", std::move(params)}});
  }

  void handle(const Json& message) {
    const std::string method = method_in(message);
    if (!message.contains("id")) {
      told(method, message.value("params", Json::object()));
      return;
    }
    const Json& id = message.at("id");
    if (method.empty()) {
      // An answer to what was asked of the client, or no message at all.
      const bool is_answer = message.contains("result") || message.contains("error");
      if (!is_answer) refuse(id, {invalid_request, "A request has a method."});
      return;
    }
    try {
      reply(id, asked(method, message));
    } catch (const Refusal& why) {
      refuse(id, why);
    } catch (const Json::exception& wrong) {
      refuse(id, {invalid_params, wrong.what()});
    }
  }

  /// The answer to a request.
  Json asked(const std::string& method, const Json& message) {
    const Json params = message.value("params", Json::object());
    if (cancelled_.contains(message.at("id").dump())) {
      throw Refusal{request_cancelled, "Cancelled."};
    }
    if (method == "initialize") return initialize(params);
    if (!initialized_) throw Refusal{not_initialized, "`initialize` comes first."};
    if (shut_down_) throw Refusal{invalid_request, "After `shutdown` only `exit` follows."};
    if (method == "shutdown") {
      shut_down_ = true;
      return nullptr;
    }
    if (is_outdated_by_change(method) && changes_later(uri_in(message))) {
      throw Refusal{content_modified, "The text has changed since."};
    }
    auto answer = lsp::answer(workspace_, method, params);
    if (!answer) throw Refusal{no_method, "There is no `" + method + "` here."};
    return std::move(*answer);
  }

  /// Whether a change of a file has come in already.
  bool changes_later(const std::string& uri) const {
    return std::any_of(queue_.begin(), queue_.end(), [&](const Json& message) {
      return method_in(message) == "textDocument/didChange" && uri_in(message) == uri;
    });
  }

  Json initialize(const Json& params) {
    if (initialized_) throw Refusal{invalid_request, "This was said already."};
    initialized_ = true;
    std::vector<fs::path> roots;
    const auto folders = params.find("workspaceFolders");
    if (folders != params.end() && folders->is_array()) {
      for (const Json& one : *folders) {
        if (auto path = path_of(one.at("uri").get<std::string>())) roots.push_back(*path);
      }
    } else if (const auto root = params.find("rootUri");
               root != params.end() && root->is_string()) {
      if (auto path = path_of(root->get<std::string>())) roots.push_back(*path);
    }
    workspace_.set_roots(std::move(roots));
    watches_ = wants_watching(params);
    return {{"capabilities", capabilities()}, {"serverInfo", {{"name", "budwood"}}}};
  }

  /// Whether the client can tell of files that others have changed.
  static bool wants_watching(const Json& params) {
    const Json::json_pointer place(
        "/capabilities/workspace/didChangeWatchedFiles/dynamicRegistration");
    return params.contains(place) && params.at(place) == true;
  }

  /// What a notification says; one that has another form says nothing.
  void told(const std::string& method, const Json& params) {
    if (method == "exit") over_ = true;
    if (!initialized_ || shut_down_ || over_) return;
    try {
      if (method == "initialized" && watches_) watch();
      if (method == "workspace/didChangeWatchedFiles") disk_changed();
      if (method.starts_with("textDocument/did")) about_document(method, params);
    } catch (const Json::exception& wrong) {
      notify("window/logMessage", {{"type", 2}, {"message", method + ": " + wrong.what()}});
    }
  }

  void watch() {
    const Json watchers = Json::array({{{"globPattern", "**/*.bud"}},
                                       {{"globPattern", "**/*.yaml"}},
                                       {{"globPattern", "**/*.jsonl"}}});
    send({{"jsonrpc", "2.0"},
          {"id", "watch"},
          {"method", "client/registerCapability"},
          {"params",
           {{"registrations", Json::array({{{"id", "watch"},
                                            {"method", "workspace/didChangeWatchedFiles"},
                                            {"registerOptions", {{"watchers", watchers}}}}})}}}});
  }

  void disk_changed() {
    workspace_.disk_changed();
    for (const fs::path& path : workspace_.open_files()) make_stale(path);
  }

  void about_document(const std::string& method, const Json& params) {
    const Json& document = params.at("textDocument");
    const auto path = path_of(document.at("uri").get<std::string>());
    if (!path) return;
    if (method == "textDocument/didOpen") {
      workspace_.open(*path, document.at("text").get<std::string>(),
                      document.at("version").get<std::int64_t>());
      changed(*path);
    } else if (method == "textDocument/didChange") {
      const bool taken = workspace_.change(*path, changes_in(params.at("contentChanges")),
                                           document.at("version").get<std::int64_t>());
      if (taken) changed(*path);
    } else if (method == "textDocument/didClose") {
      workspace_.close(*path);
      std::erase(stale_, fs::path(*path));
      notify("textDocument/publishDiagnostics",
             {{"uri", uri_of(*path)}, {"diagnostics", Json::array()}});
      for (const fs::path& one : workspace_.open_files()) make_stale(one);
    } else if (method == "textDocument/didSave") {
      disk_changed();
    }
  }

  /// A text is another one: it goes first, then what may rest on it.
  void changed(const fs::path& path) {
    std::erase(stale_, path);
    stale_.push_front(path);
    for (const fs::path& one : workspace_.open_files()) make_stale(one);
  }
  void make_stale(const fs::path& path) {
    if (std::find(stale_.begin(), stale_.end(), path) == stale_.end()) stale_.push_back(path);
  }

  void publish(const fs::path& path) {
    if (!workspace_.is_open(path)) return;
    Json found = Json::array();
    for (const Finding& one : workspace_.findings(path)) found.push_back(json_of(one));
    notify("textDocument/publishDiagnostics", {{"uri", uri_of(path)},
                                               {"version", workspace_.document(path)->version()},
                                               {"diagnostics", std::move(found)}});
  }

  Send send_;
  Workspace workspace_;
  std::deque<Json> queue_;
  std::set<std::string> cancelled_;  ///< numbers of requests, as they were written
  std::deque<fs::path> stale_;       ///< open files whose findings are to be told
  bool initialized_ = false;
  bool shut_down_ = false;
  bool over_ = false;
  bool watches_ = false;
};

Server::Server(Send send) : inside_(std::make_unique<Inside>(std::move(send))) {}
Server::~Server() = default;

void Server::receive(const std::string& body) {
  inside_->receive(body);
}

bool Server::work() {
  return inside_->work();
}

bool Server::over() const {
  return inside_->over();
}

int Server::status() const {
  return inside_->status();
}

}  // namespace budwood::editor::lsp
