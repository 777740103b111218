package drawer

// drawScript runs after the chart script and gives the program its one way in.
// Everything that it is handed is parsed as data.
const drawScript = `
(function () {
  echarts.setPlatformAPI({ measureText: function (text) { return { width: 7 * String(text).length }; } });

  function lyingBars(rows, inks) {
    return function (params, api) {
      var parts = [];
      (rows[params.dataIndex] || []).forEach(function (s) {
        var a = api.coord([s.from, 0])[0], b = api.coord([s.to, 0])[0];
        var style = { fill: s.fill };
        if (s.edge) { style.stroke = inks.paper; style.lineWidth = 1; }
        parts.push({ type: "rect", style: style,
          shape: { x: Math.min(a, b), y: s.y - s.high / 2, width: Math.max(Math.abs(b - a), 1), height: s.high } });
        if (s.join) {
          parts.push({ type: "line", shape: { x1: b, y1: s.y + s.high / 2, x2: b, y2: s.join },
            style: { fill: "none", stroke: inks.join, lineWidth: 1 } });
        }
      });
      return { type: "group", children: parts };
    };
  }

  return function (json, join, paper) {
    var order = JSON.parse(json), option = order.option;
    option.series.forEach(function (s) {
      if (s.type === "custom") {
        s.renderItem = lyingBars(order.spans, { join: join, paper: paper });
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
