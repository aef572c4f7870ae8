/// Private to this module.
#pragma once

#include "editor/lsp/json_forms.hpp"

namespace budwood::editor::lsp {

/// Why a request has no answer, by the numbers of the protocol.
struct Refusal {
  int code = 0;
  std::string message;
};
inline constexpr int parse_error = -32700;
inline constexpr int invalid_request = -32600;
inline constexpr int no_method = -32601;
inline constexpr int invalid_params = -32602;
inline constexpr int not_initialized = -32002;
inline constexpr int request_cancelled = -32800;
inline constexpr int content_modified = -32801;
inline constexpr int request_failed = -32803;

/// What the server can do.
Json capabilities();

/// Answers a request about the workspace; nothing when there is no such method. Throws
/// `Json::exception` where its parameters have another form, a `Refusal` where it cannot be done.
std::optional<Json> answer(const Workspace& workspace, const std::string& method,
                           const Json& params);

}  // namespace budwood::editor::lsp
