package drawer

// drawScript runs after the chart script and gives the program its one way in.
// Everything that it is handed is parsed as data.
const drawScript = `
(function (measure) {
  echarts.setPlatformAPI({
    measureText: function (text, font) {
      var size = /([\d.]+)px/.exec(font || "");
      return { width: measure(String(text), size ? +size[1] : 12) };
    }
  });

  // See guard in package chart.
  function guarded(v) {
    if (typeof v === "string") {
      return v.split("\n").map(function (t) { return t in Object.prototype ? "\u2060" + t : t; }).join("\n");
    }
    if (v && typeof v === "object") {
      Object.keys(v).forEach(function (k) { v[k] = guarded(v[k]); });
    }
    return v;
  }

  function axisText(ticks) {
    return function (value) {
      var text = ticks.texts[Math.round((Number(value) - ticks.min) / ticks.step)];
      return text === undefined ? "" : text;
    };
  }

  function shown(params) {
    var text = params.data && params.data.shown;
    return typeof text === "string" ? text : "";
  }

  function spanItem(rows) {
    return function (params, api) {
      var parts = [], row = params.dataIndex, height = 18;
      rows[row].forEach(function (s) {
        var a = api.coord([s.from, row]), b = api.coord([s.to, row]);
        var x0 = Math.min(a[0], b[0]), x1 = Math.max(a[0], b[0]), y = a[1];
        var style = { fill: s.fill };
        parts.push({ type: "rect", shape: { x: x0, y: y - height / 2, width: Math.max(x1 - x0, 1), height: height }, style: style });
        if (s.join) {
          var next = api.coord([s.to, row + 1])[1];
          parts.push({ type: "line", shape: { x1: b[0], y1: y + height / 2, x2: b[0], y2: next - height / 2 },
            style: { fill: "none", stroke: api.joinColour, lineWidth: 1 } });
        }
        [["left", x0 - 6, "right"], ["right", x1 + 6, "left"]].forEach(function (side) {
          if (s[side[0]]) {
            parts.push({ type: "text", style: { text: s[side[0]], x: side[1], y: y, textAlign: side[2],
              textVerticalAlign: "middle", fill: api.textColour, fontSize: 13, fontFamily: "inherit",
              stroke: api.paperColour, lineWidth: 3 } });
          }
        });
      });
      return { type: "group", children: parts };
    };
  }

  return function (json, textColour, joinColour, paperColour) {
    var order = guarded(JSON.parse(json)), option = order.option;
    ["xAxis", "yAxis"].forEach(function (key) {
      if (order.ticks && order.ticks[key]) option[key][0].axisLabel.formatter = axisText(order.ticks[key]);
    });
    if (option.legend) option.legend.formatter = function (name) { return order.names[name]; };
    option.series.forEach(function (s) {
      s.label = Object.assign({}, s.label, { formatter: shown });
      if (s.endLabel) s.endLabel.formatter = function (params) { return order.names[params.seriesName]; };
      if (s.markLine) s.markLine.label = { formatter: shown };
      if (s.type === "custom") {
        var render = spanItem(order.spans);
        s.renderItem = function (params, api) {
          api.textColour = textColour;
          api.joinColour = joinColour;
          api.paperColour = paperColour;
          return render(params, api);
        };
        s.encode = { x: [], y: [0] };
      }
    });
    var chart = echarts.init(null, null, { renderer: "svg", ssr: true, width: order.width, height: order.height });
    try {
      chart.setOption(option);
      return chart.renderToSVGString();
    } finally {
      chart.dispose();
    }
  };
})
`
