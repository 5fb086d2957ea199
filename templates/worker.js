import { start } from {{ url_for('static', filename='keptworker.js')|tojson }};
start({{ {"cache": cache, "files": files, "unreachable": unreachable}|tojson }});
